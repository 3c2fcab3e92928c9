"""Heat exchanger: passes heat from one liquid to another."""
