"""What is called what: references that follow, hands and layers taken apart, records of other pieces."""
