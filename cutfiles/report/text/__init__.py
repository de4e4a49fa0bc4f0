"""What the terminal shows and what data hold."""
