def case_pages(w):
    return {}
