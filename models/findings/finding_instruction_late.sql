{{ paper_finding("instruction_late", "doubts.paper = 'instruction' and doubts.paper_state = 'late'") }}
