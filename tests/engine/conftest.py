"""Every run of these tests is held to its ledgers."""

from tests.engine.ledger import every_ledger_closes

__all__ = ["every_ledger_closes"]
