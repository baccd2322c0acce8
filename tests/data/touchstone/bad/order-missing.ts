[Version] 2.0
# MHz S RI R 50
[Number of Ports] 2
[Number of Frequencies] 1
[Network Data]
868.3 0.1 0 0.8 0.1 0.8 0.1 0.2 0
[End]
