"use strict";
// Sorting only: the page holds all there is.
(function () {
  var table = document.getElementById("class");
  if (!table) return;
  var heads = table.tHead.rows[0].cells;
  var names = new Intl.Collator(undefined, { sensitivity: "base", numeric: true });
  function byName(a, b) { return names.compare(a.dataset.name, b.dataset.name); }
  function sortRows(head) {
    var column = head.cellIndex, rows = Array.from(table.tBodies); // one a student
    rows.sort(function (a, b) {
      if (column === 0) return byName(a, b);
      return b.rows[0].cells[column].dataset.count - a.rows[0].cells[column].dataset.count || byName(a, b);
    });
    rows.forEach(function (r) { table.insertBefore(r, table.tFoot); });
    Array.from(heads).forEach(function (h) { h.removeAttribute("aria-sort"); });
    head.setAttribute("aria-sort", column === 0 ? "ascending" : "descending");
  }
  function sortColumns(most) {
    var all = Array.from(heads).slice(1).map(function (h) { return { at: h.cellIndex, order: +h.dataset.order, total: +h.dataset.total }; });
    all.sort(function (a, b) { return (most ? b.total - a.total : 0) || a.order - b.order; });
    Array.from(table.rows).forEach(function (row) {
      if (row.className === "said") return;
      var cells = Array.from(row.cells);
      all.forEach(function (c) { row.appendChild(cells[c.at]); });
    });
  }
  table.tHead.addEventListener("click", function (e) {
    var head = e.target.closest("th");
    if (head) sortRows(head);
  });
  document.getElementById("most").addEventListener("change", function (e) { sortColumns(e.target.checked); });
})();
