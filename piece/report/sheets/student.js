"use strict";
// Plays, strikes, and saves a copy; nothing is sent anywhere.
(function () {
  var changed = false;
  function each(what, does) { Array.from(document.querySelectorAll(what)).forEach(does); }
  each(".sound", function (p) {
    var audio = p.querySelector("audio"), button = p.querySelector("button");
    button.addEventListener("click", function () { audio.currentTime = 0; audio.play(); });
  });
  function struck() {
    var which = [];
    each(".work", function (w) { which.push(w.classList.contains("struck")); });
    return which.join();
  }
  var told = struck(); // what the line for home was written of; of anything else it would tell wrongly
  each(".strike", function (button) {
    button.addEventListener("click", function () {
      button.closest(".work").classList.toggle("struck");
      each(".home", function (home) { home.hidden = struck() !== told; });
      var other = button.dataset.back;
      button.dataset.back = button.textContent;
      button.textContent = other;
      changed = true;
    });
  });
  var line = document.getElementById("line"), save = document.getElementById("save");
  if (!save) return; // a saved copy
  line.addEventListener("input", function () { changed = true; });
  document.getElementById("seen").addEventListener("change", function () { changed = true; });
  line.addEventListener("paste", function (e) {
    e.preventDefault();
    document.execCommand("insertText", false, e.clipboardData.getData("text/plain"));
  });
  save.addEventListener("click", function () {
    var copy = document.documentElement.cloneNode(true), said = JSON.parse(document.getElementById("said").textContent);
    said.struck = [];
    Array.from(document.querySelectorAll(".work")).forEach(function (w, i) { if (w.classList.contains("struck")) said.struck.push(i); });
    said.line = line.innerText.trim();
    said.seen = document.getElementById("seen").checked;
    said.saved = true;
    copy.querySelector("#said").textContent = JSON.stringify(said).replace(/</g, "\\u003c"); // what endpin class reads back
    Array.from(copy.querySelectorAll(".struck, .tools, .strike, .home[hidden]")).forEach(function (e) { e.remove(); });
    var own = copy.querySelector("#line");
    own.removeAttribute("contenteditable");
    if (!own.textContent.trim()) copy.querySelector(".teacher").remove();
    var a = document.createElement("a");
    a.href = URL.createObjectURL(new Blob(["<!DOCTYPE html>\n", copy.outerHTML], { type: "text/html" }));
    a.download = document.title.replace(/[^\p{L}\p{N} ]+/gu, "") + ".html";
    a.click();
    changed = false;
  });
  window.addEventListener("beforeunload", function (e) { if (changed) e.preventDefault(); });
})();
