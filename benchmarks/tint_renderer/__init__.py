"""Photographs of tinted welds on pipe, made by reckoning, each with what was so: the judge of the photo reader.

Nothing here is shared with what it judges: own tables, own optics, own colour, own cameras. `python -m
benchmarks.tint_renderer --out DIR --count N --seed S` writes pictures, a `.npz` of truth beside each, and `list.jsonl`.
Seeds under 1,000 draw from the training pools of constants, lights and cameras; seeds from 10,000 from pools that
training never sees.
"""
