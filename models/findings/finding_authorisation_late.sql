{{ paper_finding(
    "authorisation_late", "doubts.paper = 'cremation authorisation' and doubts.paper_state = 'late'"
) }}
