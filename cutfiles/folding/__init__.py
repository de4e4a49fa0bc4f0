"""What is drawn, folded in space: planar graph of faces and creases, folding, the proof."""
