"""The command line: each verb parses, calls one function, prints."""
