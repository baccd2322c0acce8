[Version] 2.0
# MHz S RI R 50
[Number of Ports] 1
[Number of Frequencies] 3
[Network Data]
868.3 0.1 0
869.3 0.1 0
[End]
