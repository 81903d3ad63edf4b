"""The command ``ledgerstone``: its help is its documentation."""
