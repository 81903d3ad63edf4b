/* Draws each chart from the JSON beside it. Nothing is fetched and no script is made from text. */
(function () {
  "use strict";

  /* On a narrow screen: smaller type, and category labels only as dense as they can be read. */
  function fit(layout, width) {
    if (width >= 480) { return layout; }
    layout.font = { size: 12 };
    Object.keys(layout).forEach(function (name) {
      var axis = layout[name];
      if (/^xaxis/.test(name) && axis && Array.isArray(axis.tickvals) && axis.tickvals.length > 5) {
        var step = Math.ceil(axis.tickvals.length / 4), last = axis.tickvals.length - 1;
        var keep = function (_, place) { return (last - place) % step === 0; };
        axis.ticktext = axis.ticktext.filter(keep);
        axis.tickvals = axis.tickvals.filter(keep);
      }
    });
    (layout.annotations || []).forEach(function (note) {
      if (note.font) { note.font.size = 12; }
    });
    return layout;
  }

  /* A bar or point leads to the page of what it counts; the table under the chart has the same
     links for whoever uses no mouse. Only addresses of pages beside this one are followed. */
  function opens(points) {
    var href = points && points[0] && points[0].customdata;
    var isOurs = typeof href === "string" && /^[A-Za-z0-9_-]+(\/[A-Za-z0-9_-]+)*\.html$/.test(href);
    return isOurs ? href : "";
  }

  function lead(box) {
    box.on("plotly_hover", function (event) {
      box.classList.toggle("leads", opens(event.points) !== "");
    });
    box.on("plotly_unhover", function () { box.classList.remove("leads"); });
    box.on("plotly_click", function (event) {
      var href = opens(event.points);
      if (href) { window.location.assign(href); }
    });
  }

  document.querySelectorAll("script[data-chart]").forEach(function (source) {
    var box = document.getElementById(source.getAttribute("data-chart"));
    var figure = JSON.parse(source.textContent);
    window.Plotly.newPlot(box, figure.data, fit(figure.layout, box.clientWidth), {
      displayModeBar: false, displaylogo: false, responsive: true
    }).then(function () {
      lead(box);
      box.setAttribute("data-drawn", "yes");
    });
  });
}());
