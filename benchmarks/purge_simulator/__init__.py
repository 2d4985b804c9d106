"""Simulated purges to judge the live filter by: argon pushed into air-filled pipe, in two dimensions, and a monitor's readings.

It shares no code with the program it judges and imports none of it; a test keeps that.
"""
