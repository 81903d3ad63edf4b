"""The tables of the pages: statement, columns, source and empty sentence of each."""
