! Lower matrix, references on two lines, information block.
[Version] 2.0
# kHz S MA
[Number of Ports] 3
[Number of Frequencies] 2
[Reference] 50
  60 ! port 2
  75.5
[Matrix Format] lower
[Begin Information]
[Gauge] river level
! nothing in here is data: 1 2 3
[End Information]
[Network Data]
863000 0.1 10
  0.9 -20 0.2 30
  0.05 45 0.06 -50 0.3 180
870000 0.11 9 0.89 -21 0.21 29 0.051 44 0.061 -51 0.31 179
[End]
