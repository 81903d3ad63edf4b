"""Charts as plotly figures: one registered template, categories for ids and weeks, 672 px at
most."""
