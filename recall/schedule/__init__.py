"""The memory model. The only place that imports `fsrs`."""
