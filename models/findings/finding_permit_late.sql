{{ paper_finding("permit_late", "doubts.paper = 'permit' and doubts.paper_state = 'late'") }}
