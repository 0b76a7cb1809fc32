"""Markdown text into blocks with topic path and line. Knows no kinds."""
