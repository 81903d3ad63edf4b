{{ paper_finding("paper_not_provable", "doubts.paper_state = 'not provable'") }}
