"""Lists, paragraphs and sentences: what plain words say."""
