"""The review engine: questions, outcomes, marks. No input or output of its own."""
