"""What tables share: headers, cells, how rows join."""
