"""Brightroot plans, guides, judges and proves hand GTAW pipe joints: Joint → Plan → Log → Verdict → Dossier."""

__version__ = "0.1.0"
