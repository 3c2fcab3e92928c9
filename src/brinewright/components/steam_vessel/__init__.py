"""Steam vessel: closed, with water and steam, where the heat is brought."""
