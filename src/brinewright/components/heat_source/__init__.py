"""Heat source: heat from hot rock, a process or a heater."""
