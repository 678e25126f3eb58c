"""Carries out a plan: `supervisor` (worker processes that may die) and `ledger` (what was made from what).

Comes in: tasks and records. Goes out: events and records. Never done here: drawing, or touching the seller's files.
Each worker loads this package first, so it loads nothing itself.
"""
