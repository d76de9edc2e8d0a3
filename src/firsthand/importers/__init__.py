"""From what people have to pieces."""
