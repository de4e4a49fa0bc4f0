"""What is printed on paper: cards, labels, templates."""
