[Version] 2.0
# MHz S RI R 50
[Number of Ports] 4
[Number of Frequencies] 1
[Mixed-Mode Order] D2,3 D1,4 C2,3 C1,4
[Network Data]
868.3 0.1 0 0.1 0 0.1 0 0.1 0
0.1 0 0.1 0 0.1 0 0.1 0
0.1 0 0.1 0 0.1 0 0.1 0
0.1 0 0.1 0 0.1 0 0.1 0
[End]
