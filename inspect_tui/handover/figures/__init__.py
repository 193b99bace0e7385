"""Drawings as SVG text, shared by HTML and PDF: readable in black and white, with words beside every mark."""
