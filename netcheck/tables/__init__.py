"""Published tables, one a module, source first, and the lookups that read them.

A lookup returns its figure together with the table row it came from and whether
that row was read on a page (`confirmed`) or comes from memory.  Nobody read the
standards themselves: every title names the edition, and a licensed copy decides.

Nothing is imported here, so that a review loads only the tables it reads.
"""
