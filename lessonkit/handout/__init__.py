"""From pages to a PDF. The only room that imports reportlab."""
