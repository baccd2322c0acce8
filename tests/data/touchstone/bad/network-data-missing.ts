[Version] 2.0
# MHz S RI R 50
[Number of Ports] 1
[End]
