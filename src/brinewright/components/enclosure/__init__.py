"""Enclosure: a gas-filled shell around a machine, through which its casing heat must leave."""
