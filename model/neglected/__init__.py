"""What the equations of the side view leave out, carried exactly by the numbers that they have.

An axle has one motion against the chassis: two links take the other two. So any force between the two along a line (a
dry spline, a rubbing shock, a spring of another law) does at rest what a shock force of the same virtual work does, and
a shock force is a longer free length. Play and give are lengths of links, a tyre of another law is another radius, a
split of the traction another ratio of grips. What depends on the pose is put in until pose and numbers agree.
"""
