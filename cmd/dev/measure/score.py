"""Scores onsets and notes by mir_eval: JSON in on standard input, JSON out.

in:  {"onset_window": s, "takes": [{"ref_onsets": [...], "est_onsets": [...],
                                    "ref_notes": [[on, off, hz]...], "est_notes": [...]}]}
out: {"takes": [{"f":, "p":, "r":, "errors_s": [est - ref of matched pairs], "pairs": [[ref, est]...],
                 "note_f":, "note_p":, "note_r":, "notes": [[ref, est]...]}]}
Notes match by onset within 50 ms and pitch within 50 cents, ends not looked at
(the conventions of mir_eval.transcription).
"""
import json
import sys

import mir_eval
import numpy as np

asked = json.load(sys.stdin)
window = asked["onset_window"]
out = []
for take in asked["takes"]:
    ref, est = np.array(take["ref_onsets"] or [], float), np.array(take["est_onsets"] or [], float)
    answer = {"f": 0.0, "p": 0.0, "r": 0.0, "errors_s": [], "pairs": []}
    if len(ref) and len(est):
        f, p, r = mir_eval.onset.f_measure(ref, est, window=window)
        pairs = mir_eval.util.match_events(ref, est, window)
        answer.update(f=f, p=p, r=r, errors_s=[float(est[e] - ref[r_]) for r_, e in pairs],
                      pairs=[[int(r_), int(e)] for r_, e in pairs])
    rn, en = take.get("ref_notes"), take.get("est_notes")
    if rn and en:
        rn, en = np.array(rn, float), np.array(en, float)
        a = (rn[:, :2], rn[:, 2], en[:, :2], en[:, 2])
        p, r, f, _ = mir_eval.transcription.precision_recall_f1_overlap(*a, offset_ratio=None)
        pairs = mir_eval.transcription.match_notes(*a, offset_ratio=None)
        answer.update(note_f=f, note_p=p, note_r=r, notes=[[int(x), int(y)] for x, y in pairs])
    out.append(answer)
json.dump({"takes": out}, sys.stdout)
