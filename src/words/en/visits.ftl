### The list of visits. Each message: where it stands, and how many letters it may have.

# In place of the list · 50
visits-none = No finished visit here yet.
# A target: a visit's result · 14
visits-open = Open { $record }, { $day }
# A target: the record from visit to visit · 14
visits-all = All of { $record }
# Beside a visit · 24
visits-next-test = next test { $on }
# A target · 20
visits-practise = Practise
# A field · 50
visits-search = Search: record, operator or reason
# A visit that was left open · 20
visits-begun = { $record }, begun { $day } at { $time }
# A target: it goes on · 20
visits-continue = Continue { $record }
# A target: it is closed as it stands · 24
visits-close = Close { $record } now
