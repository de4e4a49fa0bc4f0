"""How a support carries: plain legs, lips, hollow posts; edges cut, hemmed or folded in three.

Plain numbers in, frozen data out: lengths in mm of the film's middle surface, forces in N, moduli
in MPa, angles in radians. Every capacity is a load at which nothing leaves its shape but ripples;
collapse lies higher. No load test stands behind any of it until the studio makes one.

In order: corners, plate, left_out, plain, posts, strip, hems, lips, outline, thirds.
"""
