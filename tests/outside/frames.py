"""Frames of the frame-analysis library: loaded where a test wants one, for it brings a plotter."""

from conftest import outside_module


def frame():
    """Return an empty frame."""
    return outside_module("Pynite").FEModel3D()
