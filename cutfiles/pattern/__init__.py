"""The support laid flat: outline, holes, creases, labels and guides, and the way back."""
