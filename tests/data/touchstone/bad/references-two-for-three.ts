[Version] 2.0
# MHz S RI R 50
[Number of Ports] 3
[Reference] 50
75
[Network Data]
868.3 0.11 0 0.12 0 0.13 0 0.21 0 0.22 0 0.23 0 0.31 0 0.32 0 0.33 0
[End]
