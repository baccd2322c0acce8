[Version] 2.0
# MHz S RI R 50
[Number of Ports] 1
[Number of Frequencies] 1
[Network Data]
868.3 0.1 0
[Noise Data]
868.3 0.7 0.64 69 19
[End]
