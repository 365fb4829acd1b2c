package sheets

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"endpin/assets"
	"endpin/dsp"
	"endpin/dsp/recording"
	"endpin/piece"
	"endpin/piece/class"
	"endpin/piece/finding"
	"endpin/piece/notation"
	"endpin/piece/outline"
	"endpin/piece/practice"
	"endpin/piece/report"
	"endpin/piece/words"
	"endpin/piece/words/pseudo"
)

// chromium runs Chromium without a window and returns what it wrote, the page's
// console in errOut. Where it is not installed the test is skipped, but fails in CI.
func chromium(t *testing.T, args ...string) (out, errOut string) {
	t.Helper()
	if _, err := exec.LookPath("chromium"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("chromium is not installed")
		}
		t.Skip("chromium is not installed")
	}
	all := append([]string{"--headless=new", "--no-sandbox", "--disable-gpu", "--user-data-dir=" + t.TempDir(), "--enable-logging=stderr",
		"--autoplay-policy=no-user-gesture-required", "--host-resolver-rules=MAP * ~NOTFOUND"}, args...)
	c := exec.Command("chromium", all...)
	var o, e bytes.Buffer
	c.Stdout, c.Stderr = &o, &e
	require.NoError(t, c.Run(), "%s", &e)
	return o.String(), e.String()
}

// consoleError is a line of the console that tells of something wrong.
var consoleError = regexp.MustCompile(`(?i)CONSOLE[^\n]*(error|refused|blocked|failed)[^\n]*`)

// invented is a class of four on the demo piece, with a name that tries to be HTML.
func invented(t *testing.T) (*piece.Piece, *class.Sheet) {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	hearing := func(f ...finding.Finding) *finding.Hearing {
		return &finding.Hearing{TempoAsked: 84, TempoHeard: 80, Findings: f}
	}
	in := func(measure string, k finding.Kind) finding.Finding {
		return finding.Finding{Measure: measure, ToMeasure: measure, Kind: k, Pass: 1, Beat: 1, Value: 30, Trust: dsp.Sure, Notes: 2, At: 12.5,
			Text: "In measure " + measure + ", beat 1, the A was 30 cents sharp <b>&</b> more."}
	}
	seats := []class.Seat{{Name: "Cleo"}, {Name: "Ben"}, {Name: "Anna <script>alert(1)</script>"}, {Name: "Dan"}, {Name: "Uma"}}
	for i := range seats[:4] {
		seats[i].Files = []string{fmt.Sprint(i, ".wav")}
	}
	s := class.Gather(p, p.Title, seats, []class.Result{
		{File: "0.wav", Hearing: hearing(in("6", finding.SharpAfterShift), in("9", finding.Late))},
		{File: "1.wav", Hearing: hearing(in("6", finding.SharpAfterShift))},
		{File: "2.wav", Hearing: hearing()},
		{File: "3.wav", Reason: "this does not sound like it"},
	}, nil)
	return p, s
}

// opened writes a page with a script of the test's own at its end, whose report it
// gives: what the script puts into the title of the page.
func opened(t *testing.T, page []byte, script string, args ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "page.html")
	script = "addEventListener('load',()=>{" + script + "})"
	sum := sha256.Sum256([]byte(script))
	page = bytes.Replace(page, []byte("script-src"), []byte("script-src &#39;sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"&#39;"), 1)
	page = bytes.Replace(page, []byte("</body>"), []byte("<script>"+script+"</script></body>"), 1)
	require.NoError(t, os.WriteFile(path, page, 0o600))
	dom, console := chromium(t, append(args, "--virtual-time-budget=8000", "--dump-dom", "file://"+path)...)
	assert.NotRegexp(t, consoleError, console)
	title := regexp.MustCompile(`(?s)<title>(.*?)</title>`).FindStringSubmatch(dom)
	require.NotNil(t, title, "%.300s", dom)
	return title[1]
}

func sheetPageOf(t *testing.T) []byte {
	t.Helper()
	p, s := invented(t)
	var b bytes.Buffer
	require.NoError(t, ClassHTML(&b, p, s, ClassOptions{Pages: func(name string) string { return name + ".html" }}))
	return b.Bytes()
}

func studentPageOf(t *testing.T) []byte {
	t.Helper()
	p, s := invented(t)
	sound := make([]float32, 16000)
	for i := range sound {
		sound[i] = float32(0.5 * math.Sin(2*math.Pi*98*float64(i)/8000))
	}
	var wav, b bytes.Buffer
	require.NoError(t, recording.WriteWAV(&wav, 8000, sound))
	require.NoError(t, StudentHTML(&b, &class.Page{Name: s.Students[0].Name, Parts: []class.Part{{Piece: p, Title: p.Title, Student: &s.Students[0]}}}, StudentOptions{Sound: []map[int][]byte{map[int][]byte{0: wav.Bytes()}}}))
	return b.Bytes()
}

// inBothLanguages does a test in English and in a language that has longer words.
func inBothLanguages(t *testing.T, does func(t *testing.T)) {
	t.Run("en", does)
	t.Run(pseudo.Tag, func(t *testing.T) {
		defer pseudo.Speak()()
		does(t)
	})
}

const names = `[...document.querySelectorAll("tbody")].map(r=>r.dataset.name[0]).join("")`

func TestTheClassSheetSortsInABrowser(t *testing.T) {
	got := opened(t, sheetPageOf(t), `
		const heads=[...document.querySelectorAll("thead th")], press=n=>heads.find(h=>h.textContent==n).querySelector("button").click();
		const said=[`+names+`];
		press("Student"); said.push(`+names+`);
		press("9"); said.push(`+names+`);
		press("6"); said.push(`+names+`);
		document.getElementById("most").click();
		said.push([...document.querySelectorAll("thead th")].slice(1,3).map(h=>h.textContent).join("+"));
		said.push([...document.querySelectorAll("tfoot td")][0].textContent.trim());
		said.push(document.querySelector("tbody tr").cells[1].dataset.count);
		document.title=said.join(" ");`)
	assert.Equal(t, "ABC ABC CAB BCA 6+9 2 1", got)
}

func TestTheStudentsPagePlaysStrikesAndIsSavedWithoutWhatWasStruck(t *testing.T) {
	got := opened(t, studentPageOf(t), `
		const audio=document.querySelector("audio");
		let copy, playing=false; URL.createObjectURL=b=>{copy=b;return "#"};
		audio.addEventListener("playing",()=>playing=true);
		document.querySelector(".play").click();
		const rest=async()=>{
			document.querySelectorAll(".strike")[1].click();
			document.getElementById("line").textContent="Slowly & well.";
			document.getElementById("save").click();
			const saved=new DOMParser().parseFromString(await copy.text(),"text/html");
			document.title=["seconds",audio.duration,"plays",playing&&!audio.error,"works",saved.querySelectorAll("article").length,
				"line",saved.getElementById("line").textContent,"tools",saved.querySelectorAll("#save, .strike, .home").length].join(" ");
		};
		// The page's clock runs ahead of the sound's: real time is spent until it plays.
		let turns=0;
		(function wait(){
			if(playing||audio.error||++turns>300){rest();return}
			for(let i=0;i<3e6;i++)window.spent=(window.spent||0)+i%7;
			setTimeout(wait,20);
		})();`)
	assert.Equal(t, "seconds 2 plays true works 1 line Slowly &amp; well. tools 0", got)
}

func TestWhatIsStruckIsNotPrintedAndTheTeachersLineIs(t *testing.T) {
	page := bytes.ReplaceAll(studentPageOf(t), []byte("@media print"), []byte("@media all")) // the rules of paper, on the screen
	got := opened(t, page, `
		document.querySelectorAll(".strike")[1].click();
		document.getElementById("line").textContent="Slowly & well.";
		const shown=e=>e.getClientRects().length>0;
		document.title=["works",[...document.querySelectorAll("article")].filter(shown).length,"line",shown(document.getElementById("line")),
			"buttons",[...document.querySelectorAll("button")].filter(shown).length].join(" ");`)
	assert.Equal(t, "works 1 line true buttons 0", got)
}

func TestTheClassPagesFitAPhone(t *testing.T) { inBothLanguages(t, fitAPhone) }

func fitAPhone(t *testing.T) {
	for name, page := range map[string][]byte{"sheet": sheetPageOf(t), "student": studentPageOf(t)} {
		path := filepath.Join(t.TempDir(), "inner.html")
		require.NoError(t, os.WriteFile(path, page, 0o600))
		frame := []byte(`<!DOCTYPE html><title>-</title><body><iframe src="file://` + path + `" width="390" height="800"></iframe></body>`)
		// A window of Chromium's is never so narrow: a frame may be.
		got := opened(t, frame, `const d=document.querySelector("iframe").contentDocument.documentElement; document.title=d.clientWidth+" "+(d.scrollWidth<=d.clientWidth)`,
			"--allow-file-access-from-files", "--disable-web-security")
		assert.Regexp(t, `^3\d\d true$`, got, name)
	}
}

// Nothing of the sheet or the outline has to be pushed sideways on a phone, and each
// number says what it is.
func TestTheSheetAndTheOutlineOnAPhoneNeedNoPushingSideways(t *testing.T) {
	inBothLanguages(t, noPushingSideways)
}

func noPushingSideways(t *testing.T) {
	p, out, plan := outlineOf(t, "On a Phone")
	var b bytes.Buffer
	require.NoError(t, report.OutlineHTML(&b, p, out, plan, report.Options{}))
	for page, says := range map[string]string{b.String(): words.Say("report.outline.measure"), string(sheetPageOf(t)): words.Say("report.class.measure", "measure", 6)} {
		path := filepath.Join(t.TempDir(), "page.html")
		require.NoError(t, os.WriteFile(path, []byte(page), 0o600))
		frame := []byte(`<!DOCTYPE html><title>-</title><body><iframe src="file://` + path + `" width="390" height="800"></iframe></body>`)
		got := opened(t, frame, `const w=document.querySelector("iframe").contentWindow, d=w.document;
			const wide=[...d.querySelectorAll("main *")].filter(e=>e.getClientRects().length>0&&!e.closest("svg")&&e.scrollWidth>e.clientWidth+1&&w.getComputedStyle(e).overflowX!="visible").length;
			const names=[...d.querySelectorAll("td")].filter(e=>e.getClientRects().length>0).map(e=>w.getComputedStyle(e,"::before").content+e.innerText).join(" ");
			document.title=wide+" "+names.includes("`+says+`")`, "--allow-file-access-from-files")
		assert.Equal(t, "0 true", got)
	}
}

// three is a take of the demo piece in which as much is told as one sheet is to hold: three
// things of several measures, in the words of the longest finding.
func three(t *testing.T) (*piece.Piece, *finding.Hearing) {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	h := &finding.Hearing{Recording: "a recording with a long name, as phones give it.m4a", Duration: 48, TempoAsked: 84, TempoHeard: 80, HeardA: 441, ReferenceA: 440,
		Level: "intermediate", Intonation: "equal", Remarks: []string{"the file's transposition: sounding an octave lower"}}
	line, _ := p.Line()
	for i := range line {
		e, on, off, zero := &line[i], float64(i), float64(i)+0.9, 0.0
		h.Notes = append(h.Notes, finding.Note{Measure: e.Number, Pass: e.Pass, Beat: e.Beat, MIDI: e.MIDI, HeardMIDI: &e.MIDI, Onset: &on, Offset: &off,
			Cents: &zero, CentsSpread: &zero, LateMS: &zero, Held: &off, String: 1, Finger: "1", Position: "1", Trust: dsp.Sure, State: finding.StatePlayed, Line: i, Heard: i})
	}
	for i, k := range []finding.Kind{finding.SharpAfterShift, finding.FlatAfterShift, finding.WrongRhythm} {
		h.Findings = append(h.Findings, finding.Finding{Kind: k, Measure: fmt.Sprint(5*i + 1), ToMeasure: fmt.Sprint(5*i + 4), Pass: 1, Beat: 1, Value: 31, Spread: 5, Tolerance: 18,
			Trust: dsp.Sure, Notes: 9, At: 12, First: -1, Last: -1, Text: "After the shift from first position to third position in measure 5, on the G string, your hand landed 31 cents sharp, " +
				"about a centimetre too far toward the bridge and stayed there until the A in measure 7."})
	}
	h.WorthFixing = h.Worth()[:2]
	return p, h
}

func TestThePagesPrintOnOneSheetOfBothPapersWhereThreeThingsAreTold(t *testing.T) {
	p, h := three(t)
	var take, student bytes.Buffer
	require.NoError(t, report.HTML(&take, p, nil, h, &dsp.Heard{}, report.Options{Player: "Ada", Date: "1 October 2026"}))
	s := class.Gather(p, p.Title, []class.Seat{{Name: "Ada", Files: []string{"a"}}}, []class.Result{{File: "a", Hearing: h, At: time.Date(2026, 10, 1, 9, 0, 0, 0, time.UTC),
		Doubt: "The recording is cut short: its header promises 60.0 s and it holds 48.0 s."}}, nil)
	require.Len(t, s.Students[0].WorthFixing, 3)
	require.NoError(t, StudentHTML(&student, &class.Page{Name: s.Students[0].Name, Parts: []class.Part{{Piece: p, Title: p.Title, Student: &s.Students[0]}}}, StudentOptions{}))
	// Three things in two pieces, with a line of the teacher's.
	var both bytes.Buffer
	g := &class.Page{Name: "Ada"}
	for k, most := range []int{2, 1} {
		part := *h
		part.Findings = h.Findings[k : k+most]
		part.WorthFixing = part.Worth()
		one := class.Gather(p, p.Title, []class.Seat{{Name: "Ada", Files: []string{"a"}}}, []class.Result{{File: "a", Hearing: &part, At: time.Date(2026, 10, 1, 9, 0, 0, 0, time.UTC)}}, nil)
		g.Parts = append(g.Parts, class.Part{Piece: p, Title: p.Title, Student: &one.Students[0]})
	}
	require.NoError(t, StudentHTML(&both, g, StudentOptions{Remark: "Bring your rosin on Thursday.", Line: "Well done. Sing it first.", Home: true}))
	for page, says := range map[string]string{take.String(): "1 October 2026", both.String(): "For Ada, 1 October 2026", student.String(): "For Ada, 1 October 2026"} {
		assert.Contains(t, page, says)
		assert.Equal(t, 1, strings.Count(page, "Not judged: tone, bow hold, posture."))
	}
	papers := map[string]string{"A4": `/MediaBox \[0 0 59[45][.\d]* 84[12][.\d]*\]`, "letter": `/MediaBox \[0 0 612 792\]`}
	for name, page := range map[string][]byte{"sheet": sheetPageOf(t), "student": student.Bytes(), "pieces": both.Bytes(), "take": take.Bytes()} {
		for paper, box := range papers {
			folder := t.TempDir()
			sized := bytes.Replace(page, []byte("</head>"), []byte("<style>@page { size: "+paper+"; }</style></head>"), 1)
			require.NoError(t, os.WriteFile(filepath.Join(folder, "page.html"), sized, 0o600))
			pdf := filepath.Join(folder, "page.pdf")
			_, console := chromium(t, "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+filepath.Join(folder, "page.html"))
			assert.NotRegexp(t, consoleError, console)
			data, err := os.ReadFile(pdf)
			require.NoError(t, err)
			assert.Regexp(t, box, string(data), name)
			assert.Len(t, regexp.MustCompile(`/Type ?/Page\b[^s]`).FindAll(data, -1), 1, "%s: one sheet of %s", name, paper)
			if folder := os.Getenv("LOOK"); folder != "" {
				require.NoError(t, os.WriteFile(filepath.Join(folder, name+" "+paper+".pdf"), data, 0o600))
			}
		}
	}
}

// A class of forty on a piece of 32 measures, of which each has something to
// tell: as much as is drawn at once.
func TestALargeClassFitsAcrossTheUprightPaper(t *testing.T) { inBothLanguages(t, fitsAcross) }

func fitsAcross(t *testing.T) {
	p := &piece.Piece{Title: "Long"}
	for m := range manyColumns {
		p.Measures = append(p.Measures, piece.Measure{Number: fmt.Sprint(m + 1), Length: 4 * piece.Quarter, Time: piece.Time{Beats: 4, Unit: 4}})
	}
	var seats []class.Seat
	var results []class.Result
	for i := range 40 {
		file := fmt.Sprint(i, ".wav")
		h := &finding.Hearing{}
		for k := range 6 {
			m := fmt.Sprint((i*7+k*k)%manyColumns + 1)
			for _, kind := range []finding.Kind{finding.SharpAfterShift, finding.HeldShort, finding.WrongRhythm}[:1+(i+k)%3] {
				h.Findings = append(h.Findings, finding.Finding{Measure: m, ToMeasure: m, Kind: kind, Pass: 1, Beat: 1, Trust: dsp.Sure, Notes: 2, Text: "Something."})
			}
		}
		seats = append(seats, class.Seat{Name: fmt.Sprint("Wilhelmina Featherstonehaugh ", i), Files: []string{file}})
		results = append(results, class.Result{File: file, Hearing: h})
	}
	var b bytes.Buffer
	require.NoError(t, ClassHTML(&b, p, class.Gather(p, p.Title, seats, results, nil), ClassOptions{}))
	// Print rules at the width of the paper between its margins: 182 mm at 96 pixels an inch.
	page := bytes.Replace(b.Bytes(), []byte("@media print"), []byte("@media all"), -1)
	page = bytes.Replace(page, []byte("<body"), []byte(`<body style="width:688px;margin:0"`), 1)
	got := opened(t, page, `const t=document.getElementById("class").getBoundingClientRect();
		const over=[...document.querySelectorAll("td, thead th")].filter(c=>c.scrollWidth>c.clientWidth+1).length;
		document.title=[t.right<=688.5, over].join(" ");`)
	assert.Equal(t, "true 0", got)
	if folder := os.Getenv("LOOK"); folder != "" {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "large.html"), b.Bytes(), 0o600))
	}
}

func TestTheClassPagesAskForNothingFromOutside(t *testing.T) {
	for _, page := range [][]byte{sheetPageOf(t), studentPageOf(t)} {
		text := strings.ReplaceAll(string(page), `xmlns="http://www.w3.org/2000/svg"`, "")
		assert.NotRegexp(t, `https?://|@import|url\((?:"|')?[^#)]|<link|fetch\(|XMLHttp|sendBeacon`, text)
		assert.NotContains(t, text, "<script>alert")
	}
}

// What a page's own words cannot do the browser forbids: here somebody has written into
// a page by hand.
func TestAPageLoadsAndRunsNothingThatIsNotItsOwn(t *testing.T) {
	p, out, plan := outlineOf(t, "Outline")
	var outlined bytes.Buffer
	require.NoError(t, report.OutlineHTML(&outlined, p, out, plan, report.Options{}))
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "picture.svg"), []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="77" height="5"/>`), 0o600))
	for name, page := range map[string][]byte{"sheet": sheetPageOf(t), "student": studentPageOf(t), "outline": outlined.Bytes()} {
		path := filepath.Join(folder, name+".html")
		page = bytes.Replace(page, []byte("</body>"), []byte(`<img id="foreign" src="picture.svg"/><script>document.title="foreign"</script></body>`), 1)
		require.NoError(t, os.WriteFile(path, page, 0o600))
		dom, console := chromium(t, "--virtual-time-budget=2000", "--dump-dom", "file://"+path)
		assert.NotContains(t, dom, "<title>foreign</title>", name)
		assert.Contains(t, console, "Content Security Policy", name)
		assert.Contains(t, console, "picture.svg", name)
	}
}

func TestNoSpreadsheetTakesANameForAFormula(t *testing.T) {
	_, s := invented(t)
	s.Students[0].Name, s.Students[1].Name = `=HYPERLINK("x","Cleo, ""C""")`, "@Ben\nOkafor"
	var b bytes.Buffer
	require.NoError(t, ClassCSV(&b, []*class.Sheet{s}, 0, nil))
	text := b.String()
	assert.True(t, strings.HasPrefix(text, "\ufeffname,recording,"))
	assert.Contains(t, text, `"'=HYPERLINK(""x"",""Cleo, """"C"""""")",0.wav,heard,`)
	assert.Contains(t, text, "'@Ben")
	assert.NotRegexp(t, `(?m)(^|,)"?[=+@]`, text)
	assert.Equal(t, 1+3+3, strings.Count(strings.ReplaceAll(text, "@Ben\r\n", ""), "\r\n"), "a row a finding, and one for who has none")
}

func outlineOf(t *testing.T, title string) (*piece.Piece, *outline.Outline, practice.Plan) {
	t.Helper()
	p, err := notation.Read(assets.DemoPieceName, assets.DemoPiece)
	require.NoError(t, err)
	p.Title = title
	out, err := outline.Of(p, outline.Options{})
	require.NoError(t, err)
	return p, out, practice.For(out, practice.Options{})
}
