"""The packet: what people hold while they cut, crimp, pull and prove, as one PDF."""
