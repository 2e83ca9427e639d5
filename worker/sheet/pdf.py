"""x"""
def sheet_pdf(subject, solid, numbers): return b""
