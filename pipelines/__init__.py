"""From a drop of CSV files to text tables, and the run that takes them on to pages."""
