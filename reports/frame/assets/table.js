/* For tables that are complete without it: a word where columns are out of sight, and sorting. A heading
   becomes a button; one column at a time carries aria-sort; the result is said in a status line (WAI-ARIA
   Authoring Practices, sortable table). */
(function () {
  "use strict";
  var status = document.getElementById("sorted");

  function keyOf(cell) {
    var given = cell.getAttribute("data-sort");
    return given === null ? cell.textContent.trim() : given;
  }

  function asNumber(text) {
    var plain = text.replace(/,/g, "").replace(/%$/, "");
    return plain !== "" && isFinite(plain) ? Number(plain) : null;
  }

  function compare(a, b) {
    /* What is not available stays last in both directions: handled by the caller. */
    var x = asNumber(a), y = asNumber(b);
    if (x !== null && y !== null) { return x - y; }
    return a < b ? -1 : a > b ? 1 : 0;
  }

  function sort(table, heading, column) {
    var down = heading.getAttribute("aria-sort") === "ascending";
    var body = table.tBodies[0];
    var rows = Array.prototype.map.call(body.rows, function (row, place) {
      return { row: row, key: keyOf(row.cells[column]), place: place };
    });
    rows.sort(function (a, b) {
      if ((a.key === "") !== (b.key === "")) { return a.key === "" ? 1 : -1; }
      var order = compare(a.key, b.key);
      return (down ? -order : order) || a.place - b.place;
    });
    rows.forEach(function (entry) { body.appendChild(entry.row); });
    Array.prototype.forEach.call(table.tHead.rows[0].cells, function (other) {
      other.removeAttribute("aria-sort");
    });
    heading.setAttribute("aria-sort", down ? "descending" : "ascending");
    status.textContent = "Sorted by " + heading.textContent.trim() + ", " +
      (down ? "largest or last first." : "smallest or first first.");
  }

  function tellWidth() {
    document.querySelectorAll(".scroll").forEach(function (box) {
      box.parentNode.classList.toggle("wide", box.scrollWidth > box.clientWidth + 16);
    });
  }

  document.querySelectorAll("main table").forEach(function (table) {
    if (!table.tHead || table.tBodies[0].rows.length < 2) { return; }
    Array.prototype.forEach.call(table.tHead.rows[0].cells, function (heading, column) {
      var button = document.createElement("button");
      button.type = "button";
      button.textContent = heading.textContent;
      heading.textContent = "";
      heading.appendChild(button);
      button.addEventListener("click", function () { sort(table, heading, column); });
    });
  });
  tellWidth();
  window.addEventListener("resize", tellWidth);
}());
