"""The support standing: its profile of panels and fold angles, its design, and its checks."""
