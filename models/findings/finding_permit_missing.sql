{{ paper_finding("permit_missing", "doubts.paper = 'permit' and doubts.paper_state = 'missing'") }}
