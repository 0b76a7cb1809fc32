"""The supplies of a deck drawn as a one-line diagram: sources on top, buses as heavy bars, loads below."""
