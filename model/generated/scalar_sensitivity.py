"""Scalar kernels: sensitivity. Written by `python -m noseload.model.symbols.derive`; do not edit.

Operations: creep_sensitivity 1129, steady_sensitivity 1182.
"""

from math import cos, sin, sqrt, tanh



def creep_sensitivity(unknowns, grade, parameters):
    """Derivatives of residual (13) and outputs (6) by every parameter."""
    (chassis_z, chassis_theta, rear_x, rear_z, rear_theta, front_x, front_z, front_theta,
        tension_rear_lower_link, tension_rear_upper_link, tension_front_lower_link, tension_front_upper_link,
        traction,) = unknowns
    (brake_speed, chassis_inertia, chassis_mass, front_alone, front_damping, front_driven, front_free_length,
        front_grip, front_longest, front_lower_link_axle_x, front_lower_link_axle_z,
        front_lower_link_chassis_x, front_lower_link_chassis_z, front_lower_link_length, front_mass,
        front_motor, front_shock_axle_x, front_shock_axle_z, front_shock_chassis_x, front_shock_chassis_z,
        front_shortest, front_slip_ratio_scale, front_slip_speed, front_spring_rate, front_stop_damping,
        front_stop_stiffness, front_tyre_damping, front_tyre_radius, front_tyre_stiffness,
        front_upper_link_axle_x, front_upper_link_axle_z, front_upper_link_chassis_x,
        front_upper_link_chassis_z, front_upper_link_length, front_wheel_centre_x, front_wheel_centre_z,
        geared, gravity, mobility_front_spin_front_spin, mobility_front_theta_front_spin,
        mobility_front_theta_front_theta, mobility_front_theta_rear_spin, mobility_rear_spin_front_spin,
        mobility_rear_spin_rear_spin, mobility_rear_theta_front_spin, mobility_rear_theta_front_theta,
        mobility_rear_theta_rear_spin, mobility_rear_theta_rear_theta, no_load_speed, rear_damping,
        rear_driven, rear_free_length, rear_grip, rear_housing_couple, rear_longest, rear_lower_link_axle_x,
        rear_lower_link_axle_z, rear_lower_link_chassis_x, rear_lower_link_chassis_z, rear_lower_link_length,
        rear_mass, rear_motor, rear_shock_axle_x, rear_shock_axle_z, rear_shock_chassis_x,
        rear_shock_chassis_z, rear_shortest, rear_slip_ratio_scale, rear_slip_speed, rear_spring_rate,
        rear_stop_damping, rear_stop_stiffness, rear_tyre_damping, rear_tyre_radius, rear_tyre_stiffness,
        rear_upper_link_axle_x, rear_upper_link_axle_z, rear_upper_link_chassis_x, rear_upper_link_chassis_z,
        rear_upper_link_length, rear_wheel_centre_x, rear_wheel_centre_z, spin_ratio,
        stall_torque,) = parameters
    v6 = cos(chassis_theta)
    v8 = (v6 * rear_lower_link_chassis_x)
    v9 = sin(chassis_theta)
    v11 = (v9 * rear_lower_link_chassis_z)
    v13 = cos(rear_theta)
    v14 = sin(rear_theta)
    v19 = ((v13 * rear_lower_link_axle_x) + (v14 * rear_lower_link_axle_z))
    v23 = (((v19 + rear_x) - v8) - v11)
    v26 = (1.0 / rear_lower_link_length)
    v28 = (v26 * tension_rear_lower_link)
    v30 = (v6 * rear_upper_link_chassis_x)
    v32 = (v9 * rear_upper_link_chassis_z)
    v37 = ((v13 * rear_upper_link_axle_x) + (v14 * rear_upper_link_axle_z))
    v40 = (((rear_x + v37) - v30) - v32)
    v42 = (1.0 / rear_upper_link_length)
    v44 = (v42 * tension_rear_upper_link)
    v46 = (v6 * rear_shock_chassis_x)
    v48 = (v9 * rear_shock_chassis_z)
    v53 = ((v13 * rear_shock_axle_x) + (v14 * rear_shock_axle_z))
    v56 = (((rear_x + v53) - v46) - v48)
    v58 = (v14 * rear_shock_axle_x)
    v59 = (v13 * rear_shock_axle_z)
    v64 = (chassis_z - rear_z)
    v66 = ((v9 * rear_shock_chassis_x) - (v6 * rear_shock_chassis_z))
    v68 = ((v66 - (v58 - v59)) - v64)
    v72 = sqrt(((v56 * v56) + (v68 * v68)))
    v76 = (v72 - rear_longest)
    v77 = (v76 if v76 > 0.0 else 0.0)
    v78 = (rear_stop_stiffness * v77)
    v82 = (rear_free_length - v72)
    v85 = (rear_shortest - v72)
    v86 = (v85 if v85 > 0.0 else 0.0)
    v87 = (rear_stop_stiffness * v86)
    v90 = (((rear_spring_rate * v82) + (v87 if v87 > 0.0 else 0.0)) - (v78 if v78 > 0.0 else 0.0))
    v91 = (v90 / v72)
    v92 = (v56 * v91)
    v98 = (v6 * front_lower_link_chassis_x)
    v100 = (v9 * front_lower_link_chassis_z)
    v102 = cos(front_theta)
    v103 = sin(front_theta)
    v108 = ((v102 * front_lower_link_axle_x) + (v103 * front_lower_link_axle_z))
    v112 = (((v108 + front_x) - v98) - v100)
    v114 = (1.0 / front_lower_link_length)
    v116 = (v114 * tension_front_lower_link)
    v118 = (v6 * front_upper_link_chassis_x)
    v120 = (v9 * front_upper_link_chassis_z)
    v125 = ((v102 * front_upper_link_axle_x) + (v103 * front_upper_link_axle_z))
    v128 = (((front_x + v125) - v118) - v120)
    v130 = (1.0 / front_upper_link_length)
    v132 = (v130 * tension_front_upper_link)
    v134 = (v6 * front_shock_chassis_x)
    v136 = (v9 * front_shock_chassis_z)
    v141 = ((v102 * front_shock_axle_x) + (v103 * front_shock_axle_z))
    v144 = (((front_x + v141) - v134) - v136)
    v146 = (v103 * front_shock_axle_x)
    v147 = (v102 * front_shock_axle_z)
    v151 = (chassis_z - front_z)
    v153 = ((v9 * front_shock_chassis_x) - (v6 * front_shock_chassis_z))
    v155 = ((v153 - (v146 - v147)) - v151)
    v159 = sqrt(((v144 * v144) + (v155 * v155)))
    v163 = (v159 - front_longest)
    v164 = (v163 if v163 > 0.0 else 0.0)
    v165 = (front_stop_stiffness * v164)
    v169 = (front_free_length - v159)
    v172 = (front_shortest - v159)
    v173 = (v172 if v172 > 0.0 else 0.0)
    v174 = (front_stop_stiffness * v173)
    v177 = (((front_spring_rate * v169) + (v174 if v174 > 0.0 else 0.0)) - (v165 if v165 > 0.0 else 0.0))
    v178 = (v177 / v159)
    v179 = (v144 * v178)
    v185 = (v6 * rear_lower_link_chassis_z)
    v188 = ((v14 * rear_lower_link_axle_x) - (v13 * rear_lower_link_axle_z))
    v189 = (rear_lower_link_chassis_x * v9)
    v192 = (((v189 - v64) - v185) - v188)
    v193 = (v6 * rear_upper_link_chassis_z)
    v196 = ((v14 * rear_upper_link_axle_x) - (v13 * rear_upper_link_axle_z))
    v197 = (v9 * rear_upper_link_chassis_x)
    v200 = (((v197 - v64) - v193) - v196)
    v201 = (v68 * v91)
    v206 = (v6 * front_lower_link_chassis_z)
    v209 = ((v103 * front_lower_link_axle_x) - (v102 * front_lower_link_axle_z))
    v210 = (v9 * front_lower_link_chassis_x)
    v213 = (((v210 - v151) - v206) - v209)
    v214 = (v6 * front_upper_link_chassis_z)
    v217 = ((v103 * front_upper_link_axle_x) - (v102 * front_upper_link_axle_z))
    v218 = (v9 * front_upper_link_chassis_x)
    v221 = (((v218 - v151) - v214) - v217)
    v222 = (v155 * v178)
    v227 = (v114 * v213)
    v228 = (v112 * v114)
    v229 = (v130 * v221)
    v230 = (v128 * v130)
    v231 = (v26 * v192)
    v232 = (v23 * v26)
    v233 = (v42 * v200)
    v234 = (v40 * v42)
    v236 = (v103 * front_wheel_centre_x)
    v238 = (v102 * front_wheel_centre_z)
    v239 = (v236 - v238)
    v242 = ((v239 - front_z) + front_tyre_radius)
    v244 = (v242 * front_tyre_stiffness)
    v246 = (v244 * front_grip)
    v248 = (v14 * rear_wheel_centre_x)
    v250 = (v13 * rear_wheel_centre_z)
    v251 = (v248 - v250)
    v254 = ((v251 - rear_z) + rear_tyre_radius)
    v256 = (v254 * rear_tyre_stiffness)
    v261 = (v246 + (v256 * rear_grip))
    v262 = (v246 * geared)
    v264 = (front_alone + (v262 / v261))
    v269 = ((1.0 - v264) * traction)
    v272 = (v264 * traction)
    v309 = (v46 + v48)
    v311 = (v134 + v136)
    v338 = ((-(v13 * rear_wheel_centre_x)) - (v14 * rear_wheel_centre_z))
    v370 = ((-(v102 * front_wheel_centre_x)) - (v103 * front_wheel_centre_z))
    v385 = (rear_lower_link_length * rear_lower_link_length)
    v392 = (rear_upper_link_length * rear_upper_link_length)
    v399 = (front_lower_link_length * front_lower_link_length)
    v406 = (front_upper_link_length * front_upper_link_length)
    v413 = (-v6)
    v414 = (-v9)
    v416 = (-(1.0 / v385))
    v417 = (tension_rear_lower_link * v416)
    v419 = (-(1.0 / v392))
    v420 = (tension_rear_upper_link * v419)
    v421 = (-v13)
    v422 = (-v14)
    v423 = (v56 / v72)
    v424 = (v68 / v72)
    v427 = ((v413 * v423) + (v9 * v424))
    v430 = ((v413 * v424) + (v414 * v423))
    v433 = ((v422 * v424) + (v13 * v423))
    v436 = ((v13 * v424) + (v14 * v423))
    v441 = (rear_spring_rate / v72)
    v442 = (1.0 if v78 > 0.0 else 0.0)
    v445 = ((rear_stop_stiffness * v442) * (1.0 if v76 > 0.0 else 0.0))
    v446 = (v445 / v72)
    v447 = (1.0 if v87 > 0.0 else 0.0)
    v450 = ((rear_stop_stiffness * v447) * (1.0 if v85 > 0.0 else 0.0))
    v451 = (v450 / v72)
    v452 = (v82 / v72)
    v456 = (((v86 * v447) - (v77 * v442)) / v72)
    v459 = (-(v90 / (v72 * v72)))
    v462 = (((rear_spring_rate + v445) + v450) / v72)
    v465 = ((v427 * v459) + ((-v427) * v462))
    v468 = ((v430 * v459) + ((-v430) * v462))
    v471 = ((v433 * v459) + ((-v433) * v462))
    v474 = ((v436 * v459) + ((-v436) * v462))
    v475 = (v91 * v413)
    v477 = (v475 + (v56 * v465))
    v480 = ((v91 * v414) + (v56 * v468))
    v482 = (v13 * v91)
    v483 = ((v56 * v471) + v482)
    v486 = ((v56 * v474) + (v14 * v91))
    v487 = (v56 * v441)
    v488 = (v56 * v446)
    v489 = (v56 * v451)
    v490 = (v56 * v452)
    v491 = (v56 * v456)
    v492 = (v23 * v417)
    v493 = (v44 * v413)
    v494 = (v44 * v414)
    v495 = (v13 * v44)
    v496 = (v14 * v44)
    v497 = (v40 * v420)
    v507 = (v28 * v413)
    v508 = (v28 * v414)
    v509 = (v13 * v28)
    v510 = (v14 * v28)
    v512 = (-(1.0 / v399))
    v513 = (tension_front_lower_link * v512)
    v515 = (-(1.0 / v406))
    v516 = (tension_front_upper_link * v515)
    v517 = (-v102)
    v518 = (-v103)
    v519 = (v144 / v159)
    v520 = (v155 / v159)
    v523 = ((v413 * v519) + (v9 * v520))
    v526 = ((v413 * v520) + (v414 * v519))
    v529 = ((v518 * v520) + (v102 * v519))
    v532 = ((v102 * v520) + (v103 * v519))
    v537 = (front_spring_rate / v159)
    v538 = (1.0 if v165 > 0.0 else 0.0)
    v541 = ((front_stop_stiffness * v538) * (1.0 if v163 > 0.0 else 0.0))
    v542 = (v541 / v159)
    v543 = (1.0 if v174 > 0.0 else 0.0)
    v546 = ((front_stop_stiffness * v543) * (1.0 if v172 > 0.0 else 0.0))
    v547 = (v546 / v159)
    v548 = (v169 / v159)
    v552 = (((v173 * v543) - (v164 * v538)) / v159)
    v555 = (-(v177 / (v159 * v159)))
    v558 = (((front_spring_rate + v541) + v546) / v159)
    v561 = ((v523 * v555) + ((-v523) * v558))
    v564 = ((v526 * v555) + ((-v526) * v558))
    v567 = ((v529 * v555) + ((-v529) * v558))
    v570 = ((v532 * v555) + ((-v532) * v558))
    v571 = (v178 * v413)
    v573 = (v571 + (v144 * v561))
    v576 = ((v178 * v414) + (v144 * v564))
    v578 = (v102 * v178)
    v579 = ((v144 * v567) + v578)
    v582 = ((v144 * v570) + (v103 * v178))
    v583 = (v144 * v537)
    v584 = (v144 * v542)
    v585 = (v144 * v547)
    v586 = (v144 * v548)
    v587 = (v144 * v552)
    v588 = (v116 * v413)
    v589 = (v116 * v414)
    v590 = (v102 * v116)
    v591 = (v103 * v116)
    v592 = (v112 * v513)
    v593 = (v132 * v413)
    v594 = (v132 * v414)
    v595 = (v102 * v132)
    v596 = (v103 * v132)
    v597 = (v128 * v516)
    v609 = ((v68 * v465) + (v9 * v91))
    v611 = (v475 + (v68 * v468))
    v614 = ((v91 * v422) + (v68 * v471))
    v616 = (v482 + (v68 * v474))
    v617 = (v68 * v441)
    v618 = (v68 * v446)
    v619 = (v68 * v451)
    v620 = (v68 * v452)
    v621 = (v68 * v456)
    v622 = (v192 * v417)
    v623 = (v200 * v420)
    v624 = (v9 * v28)
    v625 = (v28 * v422)
    v626 = (v9 * v44)
    v627 = (v44 * v422)
    v639 = ((v155 * v561) + (v9 * v178))
    v641 = (v571 + (v155 * v564))
    v644 = ((v178 * v518) + (v155 * v567))
    v646 = (v578 + (v155 * v570))
    v647 = (v155 * v537)
    v648 = (v155 * v542)
    v649 = (v155 * v547)
    v650 = (v155 * v548)
    v651 = (v155 * v552)
    v652 = (v213 * v513)
    v653 = (v221 * v516)
    v654 = (v9 * v116)
    v655 = (v116 * v518)
    v656 = (v9 * v132)
    v657 = (v132 * v518)
    v667 = (v213 * v512)
    v668 = (v9 * v114)
    v669 = (v114 * v413)
    v670 = (v114 * v518)
    v671 = (v102 * v114)
    v672 = (v114 * v414)
    v673 = (v103 * v114)
    v674 = (v112 * v512)
    v675 = (v221 * v515)
    v676 = (v9 * v130)
    v677 = (v130 * v413)
    v678 = (v130 * v518)
    v679 = (v102 * v130)
    v680 = (v130 * v414)
    v681 = (v103 * v130)
    v682 = (v128 * v515)
    v683 = (v192 * v416)
    v684 = (v9 * v26)
    v685 = (v26 * v413)
    v686 = (v26 * v422)
    v687 = (v13 * v26)
    v688 = (v23 * v416)
    v689 = (v26 * v414)
    v690 = (v14 * v26)
    v691 = (v200 * v419)
    v692 = (v9 * v42)
    v693 = (v42 * v413)
    v694 = (v42 * v422)
    v695 = (v13 * v42)
    v696 = (v42 * v414)
    v697 = (v14 * v42)
    v698 = (v40 * v419)
    v699 = (v103 * front_tyre_stiffness)
    v700 = (front_tyre_stiffness * v517)
    v705 = (v14 * rear_tyre_stiffness)
    v706 = (rear_tyre_stiffness * v421)
    v707 = (v246 / v261)
    v708 = (v261 * v261)
    v711 = (((v246 * v256) * geared) / v708)
    v715 = ((geared / v261) - (v262 / v708))
    v718 = (-((v262 * rear_grip) / v708))
    v719 = (v244 * v715)
    v720 = ((v242 * front_grip) * v715)
    v721 = ((front_tyre_stiffness * front_grip) * v715)
    v722 = ((front_grip * v699) * v715)
    v723 = ((front_grip * v700) * v715)
    v724 = (v254 * v718)
    v725 = (rear_tyre_stiffness * v718)
    v726 = (v705 * v718)
    v727 = (v706 * v718)
    v738 = (-traction)
    v739 = (traction * (-v707))
    v740 = (traction * v711)
    v741 = (traction * (-v719))
    v742 = (traction * (-v720))
    v743 = (traction * (-v721))
    v744 = (traction * (-v722))
    v745 = (traction * (-v723))
    v746 = (traction * (-v724))
    v747 = (traction * (-v725))
    v748 = (traction * (-v726))
    v749 = (traction * (-v727))
    v750 = (traction * v707)
    v751 = (traction * (-v711))
    v752 = (traction * v719)
    v753 = (traction * v720)
    v754 = (traction * v721)
    v755 = (traction * v722)
    v756 = (traction * v723)
    v757 = (traction * v724)
    v758 = (traction * v725)
    v759 = (traction * v726)
    v760 = (traction * v727)
    v761 = (-sin(grade))
    v762 = (gravity * v761)
    v764 = (-cos(grade))
    v765 = (gravity * v764)
    v781 = (tension_rear_upper_link * v233)
    v782 = (-v781)
    v783 = (-v92)
    v784 = (tension_rear_lower_link * v231)
    v785 = (-v784)
    v786 = (tension_front_lower_link * v227)
    v787 = (-v786)
    v788 = (tension_front_upper_link * v229)
    v789 = (-v788)
    v790 = (-v179)
    v791 = (tension_rear_lower_link * v232)
    v792 = (tension_rear_upper_link * v234)
    v793 = (tension_front_lower_link * v228)
    v794 = (tension_front_upper_link * v230)
    v797 = (tension_front_lower_link * ((-v98) - v100))
    v799 = (tension_front_lower_link * (v206 - v210))
    v802 = (tension_front_upper_link * ((-v118) - v120))
    v804 = (tension_front_upper_link * (v214 - v218))
    v807 = (tension_rear_lower_link * ((-v8) - v11))
    v809 = (tension_rear_lower_link * (v185 - v189))
    v812 = (tension_rear_upper_link * ((-v30) - v32))
    v814 = (tension_rear_upper_link * (v193 - v197))
    v972 = (-v493)
    v974 = (-v495)
    v977 = (-v507)
    v979 = (-v509)
    v993 = (-v201)
    v994 = (v59 - v58)
    v995 = (-v53)
    v996 = (v19 * tension_rear_lower_link)
    v997 = (tension_rear_lower_link * v188)
    v998 = (v37 * tension_rear_upper_link)
    v999 = (tension_rear_upper_link * v196)
    v1000 = (-v269)
    v1003 = (((v248 - rear_z) - v250) - v251)
    v1116 = (-v588)
    v1118 = (-v590)
    v1121 = (-v593)
    v1123 = (-v595)
    v1139 = (((v236 - front_z) - v238) - v239)
    v1140 = (-v222)
    v1141 = (v147 - v146)
    v1142 = (-v141)
    v1143 = (v108 * tension_front_lower_link)
    v1144 = (tension_front_lower_link * v209)
    v1145 = (v125 * tension_front_upper_link)
    v1146 = (tension_front_upper_link * v217)
    v1147 = (-v272)
    v1265 = (-v231)
    v1266 = (-v232)
    v1282 = (-v234)
    v1288 = (-v233)
    v1304 = (-v228)
    v1310 = (-v227)
    v1326 = (-v230)
    v1332 = (-v229)
    return (0.0, 0.0, v762, 0.0, 0.0, 0.0, (-v583), 0.0, (-v584), v590, v591, v588, v589, v592, 0.0, 0.0,
        (-v579), (-v582), (-v573), (-v576), (-v585), 0.0, 0.0, (-v586), 0.0, (-v587), 0.0, 0.0, 0.0, v595,
        v596, v593, v594, v597, 0.0, 0.0, 0.0, (chassis_mass * v761), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, (-v487), 0.0, 0.0, (-v488), v509, v510, v507, v508, v492, 0.0, 0.0, (-v483),
        (-v486), (-v477), (-v480), (-v489), 0.0, 0.0, (-v490), 0.0, (-v491), 0.0, 0.0, 0.0, v495, v496, v493,
        v494, v497, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v765, 0.0, 0.0, 0.0, (-v647), 0.0, (-v648), v655, v590,
        v654, v588, v652, 0.0, 0.0, (-v644), (-v646), (-v639), (-v641), (-v649), 0.0, 0.0, (-v650), 0.0,
        (-v651), 0.0, 0.0, 0.0, v657, v595, v656, v593, v653, 0.0, 0.0, 0.0, (chassis_mass * v764), 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (-v617), 0.0, 0.0, (-v618), v625, v509, v624,
        v507, v622, 0.0, 0.0, (-v614), (-v616), (-v609), (-v611), (-v619), 0.0, 0.0, (-v620), 0.0, (-v621),
        0.0, 0.0, 0.0, v627, v495, v626, v493, v623, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v153 * v583) + (v311 * v647)), 0.0, ((v153 * v584) + (v311 * v648)),
        ((v670 * v797) + (v671 * v799)), ((v671 * v797) + (v673 * v799)),
        ((((v6 * v787) - ((v9 * tension_front_lower_link) * v228)) + (v668 * v797)) + (v669 * v799)),
        ((((v6 * v793) + (v669 * v797)) + (v672 * v799)) + (v9 * v787)), ((v667 * v797) + (v674 * v799)),
        0.0, 0.0, ((v153 * v579) + (v311 * v644)), ((v153 * v582) + (v311 * v646)),
        ((((v9 * v179) + (v6 * v222)) + (v153 * v573)) + (v311 * v639)),
        ((((v6 * v790) + (v153 * v576)) + (v311 * v641)) + (v9 * v222)), ((v153 * v585) + (v311 * v649)),
        0.0, 0.0, ((v153 * v586) + (v311 * v650)), 0.0, ((v153 * v587) + (v311 * v651)), 0.0, 0.0, 0.0,
        ((v678 * v802) + (v679 * v804)), ((v679 * v802) + (v681 * v804)),
        ((((v6 * v789) - ((v9 * tension_front_upper_link) * v230)) + (v676 * v802)) + (v677 * v804)),
        ((((v6 * v794) + (v677 * v802)) + (v680 * v804)) + (v9 * v789)), ((v675 * v802) + (v682 * v804)),
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v66 * v487) + (v309 * v617)), 0.0, 0.0, ((v66 * v488) + (v309 * v618)),
        ((v686 * v807) + (v687 * v809)), ((v687 * v807) + (v690 * v809)),
        ((((v6 * v785) - ((v9 * tension_rear_lower_link) * v232)) + (v684 * v807)) + (v685 * v809)),
        ((((v6 * v791) + (v685 * v807)) + (v689 * v809)) + (v9 * v785)), ((v683 * v807) + (v688 * v809)),
        0.0, 0.0, ((v66 * v483) + (v309 * v614)), ((v66 * v486) + (v309 * v616)),
        ((((v9 * v92) + (v66 * v477)) + (v6 * v201)) + (v309 * v609)),
        ((((v66 * v480) + (v6 * v783)) + (v309 * v611)) + (v9 * v201)), ((v66 * v489) + (v309 * v619)), 0.0,
        0.0, ((v66 * v490) + (v309 * v620)), 0.0, ((v66 * v491) + (v309 * v621)), 0.0, 0.0, 0.0,
        ((v694 * v812) + (v695 * v814)), ((v695 * v812) + (v697 * v814)),
        ((((v6 * v782) - ((v9 * tension_rear_upper_link) * v234)) + (v692 * v812)) + (v693 * v814)),
        ((((v6 * v792) + (v693 * v812)) + (v696 * v814)) + (v9 * v782)), ((v691 * v812) + (v698 * v814)),
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v738, 0.0, 0.0, 0.0, v741, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v743, v742, 0.0, 0.0, 0.0, 0.0, 0.0, v744,
        v745, v739, (rear_mass * v761), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        v487, v740, 0.0, v488, v979, (-v510), v977, (-v508), (-v492), v762, 0.0, v483, v486, v477, v480,
        v489, 0.0, 0.0, v490, 0.0, v491, 0.0, v747, v746, v974, (-v496), v972, (-v494), (-v497), v748, v749,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        (rear_mass * v764), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v617, 0.0, 0.0,
        v618, (-v625), v979, (-v624), v977, (-v622), v765, 0.0, v614, v616, v609, v611, v619, 0.0, 0.0, v620,
        0.0, v621, 0.0, rear_tyre_stiffness, v254, (-v627), v974, (-v626), v972, (-v623), v705, v706, 0.0,
        0.0, 0.0, 0.0, 0.0, (v738 * v1003), 0.0, 0.0, 0.0, (v741 * v1003), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (v743 * v1003), (v742 * v1003), 0.0, 0.0,
        0.0, 0.0, 0.0, (v744 * v1003), (v745 * v1003), (v739 * v1003), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v487 * v994) + (v617 * v995)), (v740 * v1003), 1.0,
        ((v488 * v994) + (v618 * v995)), ((((v686 * v996) + (v687 * v997)) + (v14 * v791)) + (v13 * v784)),
        ((((v421 * v791) + (v687 * v996)) + (v690 * v997)) + (v14 * v784)), ((v684 * v996) + (v685 * v997)),
        ((v685 * v996) + (v689 * v997)), ((v683 * v996) + (v688 * v997)), 0.0, 0.0,
        ((((v483 * v994) + (v614 * v995)) + (v14 * v783)) + (v13 * v993)),
        ((((v421 * v783) + (v486 * v994)) + (v616 * v995)) + (v14 * v993)), ((v477 * v994) + (v609 * v995)),
        ((v480 * v994) + (v611 * v995)), ((v489 * v994) + (v619 * v995)), 0.0, 0.0,
        ((v490 * v994) + (v620 * v995)), 0.0, ((v491 * v994) + (v621 * v995)), 0.0,
        ((rear_tyre_stiffness * v338) + (v747 * v1003)), ((v746 * v1003) + (v254 * v338)),
        ((((v694 * v998) + (v695 * v999)) + (v14 * v792)) + (v13 * v781)),
        ((((v421 * v792) + (v695 * v998)) + (v697 * v999)) + (v14 * v781)), ((v692 * v998) + (v693 * v999)),
        ((v693 * v998) + (v696 * v999)), ((v691 * v998) + (v698 * v999)),
        (((((v338 * v705) - (v13 * v256)) + (v748 * v1003)) + (v14 * v1000)) + (v14 * v269)),
        (((((v421 * v1000) - (v14 * v256)) + (v338 * v706)) + (v749 * v1003)) + (v13 * v1000)), 0.0, 0.0,
        0.0, 0.0, 0.0, traction, 0.0, 0.0, v583, v752, v584, v1118, (-v591), v1116, (-v589), (-v592), v762,
        0.0, v579, v582, v573, v576, v585, 0.0, 0.0, v586, 0.0, v587, 0.0, v754, v753, v1123, (-v596), v1121,
        (-v594), (-v597), v755, v756, v750, (front_mass * v761), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, v751, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v758, v757, 0.0, 0.0, 0.0, 0.0, 0.0, v759, v760, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, v647, 0.0, v648, (-v655), v1118, (-v654), v1116, (-v652), v765, 0.0, v644, v646,
        v639, v641, v649, 0.0, 0.0, v650, 0.0, v651, 0.0, front_tyre_stiffness, v242, (-v657), v1123,
        (-v656), v1121, (-v653), v699, v700, 0.0, (front_mass * v764), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, (traction * v1139), 0.0, 0.0, ((v583 * v1141) + (v647 * v1142)), (v752 * v1139),
        ((v584 * v1141) + (v648 * v1142)),
        ((((v670 * v1143) + (v671 * v1144)) + (v102 * v786)) + (v103 * v793)),
        ((((v517 * v793) + (v671 * v1143)) + (v673 * v1144)) + (v103 * v786)),
        ((v668 * v1143) + (v669 * v1144)), ((v669 * v1143) + (v672 * v1144)),
        ((v667 * v1143) + (v674 * v1144)), 0.0, 0.0,
        ((((v579 * v1141) + (v644 * v1142)) + (v102 * v1140)) + (v103 * v790)),
        ((((v517 * v790) + (v582 * v1141)) + (v646 * v1142)) + (v103 * v1140)),
        ((v573 * v1141) + (v639 * v1142)), ((v576 * v1141) + (v641 * v1142)),
        ((v585 * v1141) + (v649 * v1142)), 0.0, 0.0, ((v586 * v1141) + (v650 * v1142)), 0.0,
        ((v587 * v1141) + (v651 * v1142)), 0.0, ((front_tyre_stiffness * v370) + (v754 * v1139)),
        ((v753 * v1139) + (v242 * v370)),
        ((((v678 * v1145) + (v679 * v1146)) + (v102 * v788)) + (v103 * v794)),
        ((((v517 * v794) + (v679 * v1145)) + (v681 * v1146)) + (v103 * v788)),
        ((v676 * v1145) + (v677 * v1146)), ((v677 * v1145) + (v680 * v1146)),
        ((v675 * v1145) + (v682 * v1146)),
        (((((v103 * v272) - (v102 * v244)) + (v370 * v699)) + (v103 * v1147)) + (v755 * v1139)),
        (((((v517 * v1147) - (v103 * v244)) + (v370 * v700)) + (v102 * v1147)) + (v756 * v1139)),
        (v750 * v1139), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        (v751 * v1139), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, (v758 * v1139), (v757 * v1139), 0.0, 0.0, 0.0, 0.0, 0.0, (v759 * v1139),
        (v760 * v1139), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v422 * v1265) + (v13 * v1266)), ((v13 * v1265) + (v14 * v1266)), ((v413 * v1266) + (v9 * v1265)),
        ((v413 * v1265) + (v414 * v1266)),
        ((rear_lower_link_length * v26) + (v416 * (((0.5 * v385) - (0.5 * (v192 * v192))) - (0.5 * (v23 * v23))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v422 * v1288) + (v13 * v1282)), ((v13 * v1288) + (v14 * v1282)), ((v413 * v1282) + (v9 * v1288)), ((v413 * v1288) + (v414 * v1282)), ((rear_upper_link_length * v42) + (v419 * (((0.5 * v392) - (0.5 * (v40 * v40))) - (0.5 * (v200 * v200))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v518 * v1310) + (v102 * v1304)), ((v102 * v1310) + (v103 * v1304)), ((v413 * v1304) + (v9 * v1310)), ((v413 * v1310) + (v414 * v1304)), ((front_lower_link_length * v114) + (v512 * (((0.5 * v399) - (0.5 * (v112 * v112))) - (0.5 * (v213 * v213))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v518 * v1332) + (v102 * v1326)), ((v102 * v1332) + (v103 * v1326)), ((v413 * v1326) + (v9 * v1332)), ((v413 * v1332) + (v414 * v1326)), ((front_upper_link_length * v130) + (v515 * (((0.5 * v406) - (0.5 * (v128 * v128))) - (0.5 * (v221 * v221))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, rear_tyre_stiffness, v254, 0.0, 0.0, 0.0, 0.0, 0.0, v705, v706, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, front_tyre_stiffness, v242, 0.0, 0.0, 0.0, 0.0, 0.0, v699, v700, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v738, 0.0, 0.0, 0.0, v741, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v743, v742, 0.0, 0.0, 0.0, 0.0, 0.0, v744, v745, v739, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v740, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v747, v746, 0.0, 0.0, 0.0, 0.0, 0.0, v748, v749, 0.0, 0.0, 0.0, 0.0, 0.0, traction, 0.0, 0.0, 0.0, v752, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v754, v753, 0.0, 0.0, 0.0, 0.0, 0.0, v755, v756, v750, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v751, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v758, v757, 0.0, 0.0, 0.0, 0.0, 0.0, v759, v760, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v433, v436, v427, v430, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v529, v532, v523, v526, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,)


def steady_sensitivity(unknowns, grip_factor, grade, parameters):
    """Derivatives of the steady residual (13) by every parameter."""
    (chassis_z, chassis_theta, rear_x, rear_z, rear_theta, front_x, front_z, front_theta,
        tension_rear_lower_link, tension_rear_upper_link, tension_front_lower_link, tension_front_upper_link,
        spin_speed, travel_speed,) = unknowns
    (brake_speed, chassis_inertia, chassis_mass, front_alone, front_damping, front_driven, front_free_length,
        front_grip, front_longest, front_lower_link_axle_x, front_lower_link_axle_z,
        front_lower_link_chassis_x, front_lower_link_chassis_z, front_lower_link_length, front_mass,
        front_motor, front_shock_axle_x, front_shock_axle_z, front_shock_chassis_x, front_shock_chassis_z,
        front_shortest, front_slip_ratio_scale, front_slip_speed, front_spring_rate, front_stop_damping,
        front_stop_stiffness, front_tyre_damping, front_tyre_radius, front_tyre_stiffness,
        front_upper_link_axle_x, front_upper_link_axle_z, front_upper_link_chassis_x,
        front_upper_link_chassis_z, front_upper_link_length, front_wheel_centre_x, front_wheel_centre_z,
        geared, gravity, mobility_front_spin_front_spin, mobility_front_theta_front_spin,
        mobility_front_theta_front_theta, mobility_front_theta_rear_spin, mobility_rear_spin_front_spin,
        mobility_rear_spin_rear_spin, mobility_rear_theta_front_spin, mobility_rear_theta_front_theta,
        mobility_rear_theta_rear_spin, mobility_rear_theta_rear_theta, no_load_speed, rear_damping,
        rear_driven, rear_free_length, rear_grip, rear_housing_couple, rear_longest, rear_lower_link_axle_x,
        rear_lower_link_axle_z, rear_lower_link_chassis_x, rear_lower_link_chassis_z, rear_lower_link_length,
        rear_mass, rear_motor, rear_shock_axle_x, rear_shock_axle_z, rear_shock_chassis_x,
        rear_shock_chassis_z, rear_shortest, rear_slip_ratio_scale, rear_slip_speed, rear_spring_rate,
        rear_stop_damping, rear_stop_stiffness, rear_tyre_damping, rear_tyre_radius, rear_tyre_stiffness,
        rear_upper_link_axle_x, rear_upper_link_axle_z, rear_upper_link_chassis_x, rear_upper_link_chassis_z,
        rear_upper_link_length, rear_wheel_centre_x, rear_wheel_centre_z, spin_ratio,
        stall_torque,) = parameters
    v6 = cos(chassis_theta)
    v8 = (v6 * rear_lower_link_chassis_x)
    v9 = sin(chassis_theta)
    v11 = (v9 * rear_lower_link_chassis_z)
    v13 = cos(rear_theta)
    v14 = sin(rear_theta)
    v19 = ((v13 * rear_lower_link_axle_x) + (v14 * rear_lower_link_axle_z))
    v23 = (((v19 + rear_x) - v8) - v11)
    v26 = (1.0 / rear_lower_link_length)
    v28 = (v26 * tension_rear_lower_link)
    v30 = (v6 * rear_upper_link_chassis_x)
    v32 = (v9 * rear_upper_link_chassis_z)
    v37 = ((v13 * rear_upper_link_axle_x) + (v14 * rear_upper_link_axle_z))
    v40 = (((rear_x + v37) - v30) - v32)
    v42 = (1.0 / rear_upper_link_length)
    v44 = (v42 * tension_rear_upper_link)
    v46 = (v6 * rear_shock_chassis_x)
    v48 = (v9 * rear_shock_chassis_z)
    v53 = ((v13 * rear_shock_axle_x) + (v14 * rear_shock_axle_z))
    v56 = (((rear_x + v53) - v46) - v48)
    v58 = (v14 * rear_shock_axle_x)
    v59 = (v13 * rear_shock_axle_z)
    v64 = (chassis_z - rear_z)
    v66 = ((v9 * rear_shock_chassis_x) - (v6 * rear_shock_chassis_z))
    v68 = ((v66 - (v58 - v59)) - v64)
    v72 = sqrt(((v56 * v56) + (v68 * v68)))
    v76 = (v72 - rear_longest)
    v77 = (v76 if v76 > 0.0 else 0.0)
    v78 = (rear_stop_stiffness * v77)
    v82 = (rear_free_length - v72)
    v85 = (rear_shortest - v72)
    v86 = (v85 if v85 > 0.0 else 0.0)
    v87 = (rear_stop_stiffness * v86)
    v90 = (((rear_spring_rate * v82) + (v87 if v87 > 0.0 else 0.0)) - (v78 if v78 > 0.0 else 0.0))
    v91 = (v90 / v72)
    v92 = (v56 * v91)
    v98 = (v6 * front_lower_link_chassis_x)
    v100 = (v9 * front_lower_link_chassis_z)
    v102 = cos(front_theta)
    v103 = sin(front_theta)
    v108 = ((v102 * front_lower_link_axle_x) + (v103 * front_lower_link_axle_z))
    v112 = (((v108 + front_x) - v98) - v100)
    v114 = (1.0 / front_lower_link_length)
    v116 = (v114 * tension_front_lower_link)
    v118 = (v6 * front_upper_link_chassis_x)
    v120 = (v9 * front_upper_link_chassis_z)
    v125 = ((v102 * front_upper_link_axle_x) + (v103 * front_upper_link_axle_z))
    v128 = (((front_x + v125) - v118) - v120)
    v130 = (1.0 / front_upper_link_length)
    v132 = (v130 * tension_front_upper_link)
    v134 = (v6 * front_shock_chassis_x)
    v136 = (v9 * front_shock_chassis_z)
    v141 = ((v102 * front_shock_axle_x) + (v103 * front_shock_axle_z))
    v144 = (((front_x + v141) - v134) - v136)
    v146 = (v103 * front_shock_axle_x)
    v147 = (v102 * front_shock_axle_z)
    v151 = (chassis_z - front_z)
    v153 = ((v9 * front_shock_chassis_x) - (v6 * front_shock_chassis_z))
    v155 = ((v153 - (v146 - v147)) - v151)
    v159 = sqrt(((v144 * v144) + (v155 * v155)))
    v163 = (v159 - front_longest)
    v164 = (v163 if v163 > 0.0 else 0.0)
    v165 = (front_stop_stiffness * v164)
    v169 = (front_free_length - v159)
    v172 = (front_shortest - v159)
    v173 = (v172 if v172 > 0.0 else 0.0)
    v174 = (front_stop_stiffness * v173)
    v177 = (((front_spring_rate * v169) + (v174 if v174 > 0.0 else 0.0)) - (v165 if v165 > 0.0 else 0.0))
    v178 = (v177 / v159)
    v179 = (v144 * v178)
    v185 = (v6 * rear_lower_link_chassis_z)
    v188 = ((v14 * rear_lower_link_axle_x) - (v13 * rear_lower_link_axle_z))
    v189 = (rear_lower_link_chassis_x * v9)
    v192 = (((v189 - v64) - v185) - v188)
    v193 = (v6 * rear_upper_link_chassis_z)
    v196 = ((v14 * rear_upper_link_axle_x) - (v13 * rear_upper_link_axle_z))
    v197 = (v9 * rear_upper_link_chassis_x)
    v200 = (((v197 - v64) - v193) - v196)
    v201 = (v68 * v91)
    v206 = (v6 * front_lower_link_chassis_z)
    v209 = ((v103 * front_lower_link_axle_x) - (v102 * front_lower_link_axle_z))
    v210 = (v9 * front_lower_link_chassis_x)
    v213 = (((v210 - v151) - v206) - v209)
    v214 = (v6 * front_upper_link_chassis_z)
    v217 = ((v103 * front_upper_link_axle_x) - (v102 * front_upper_link_axle_z))
    v218 = (v9 * front_upper_link_chassis_x)
    v221 = (((v218 - v151) - v214) - v217)
    v222 = (v155 * v178)
    v227 = (v114 * v213)
    v228 = (v112 * v114)
    v229 = (v130 * v221)
    v230 = (v128 * v130)
    v231 = (v26 * v192)
    v232 = (v23 * v26)
    v233 = (v42 * v200)
    v234 = (v40 * v42)
    v238 = (v14 * rear_wheel_centre_x)
    v240 = (v13 * rear_wheel_centre_z)
    v244 = (((v238 - v240) - rear_z) + rear_tyre_radius)
    v246 = abs(travel_speed)
    v249 = ((rear_z + v240) - v238)
    v253 = (rear_slip_speed + (v246 * rear_slip_ratio_scale))
    v256 = ((v249 * spin_speed) - travel_speed)
    v258 = tanh((v256 / v253))
    v260 = (v244 * rear_tyre_stiffness)
    v265 = ((v258 * v260) * grip_factor)
    v266 = (v265 * rear_driven)
    v271 = (v103 * front_wheel_centre_x)
    v273 = (v102 * front_wheel_centre_z)
    v277 = (((v271 - v273) - front_z) + front_tyre_radius)
    v279 = ((front_z + v273) - v271)
    v283 = (front_slip_speed + (v246 * front_slip_ratio_scale))
    v285 = (spin_speed * v279)
    v287 = ((v285 * spin_ratio) - travel_speed)
    v289 = tanh((v287 / v283))
    v291 = (v277 * front_tyre_stiffness)
    v294 = (grip_factor * v289)
    v295 = (v294 * v291)
    v296 = (v295 * front_driven)
    v334 = (v46 + v48)
    v336 = (v134 + v136)
    v346 = (v244 * v258)
    v348 = ((v346 * rear_tyre_stiffness) * grip_factor)
    v368 = ((-(v13 * rear_wheel_centre_x)) - (v14 * rear_wheel_centre_z))
    v382 = (grip_factor * v277)
    v383 = (v382 * v289)
    v384 = (v383 * front_tyre_stiffness)
    v403 = ((-(v102 * front_wheel_centre_x)) - (v103 * front_wheel_centre_z))
    v416 = (rear_lower_link_length * rear_lower_link_length)
    v423 = (rear_upper_link_length * rear_upper_link_length)
    v430 = (front_lower_link_length * front_lower_link_length)
    v437 = (front_upper_link_length * front_upper_link_length)
    v444 = (-v6)
    v445 = (-v9)
    v447 = (-(1.0 / v416))
    v448 = (tension_rear_lower_link * v447)
    v450 = (-(1.0 / v423))
    v451 = (tension_rear_upper_link * v450)
    v452 = (-v13)
    v453 = (-v14)
    v454 = (v56 / v72)
    v455 = (v68 / v72)
    v458 = ((v444 * v454) + (v9 * v455))
    v461 = ((v444 * v455) + (v445 * v454))
    v464 = ((v453 * v455) + (v13 * v454))
    v467 = ((v13 * v455) + (v14 * v454))
    v472 = (rear_spring_rate / v72)
    v473 = (1.0 if v78 > 0.0 else 0.0)
    v476 = ((rear_stop_stiffness * v473) * (1.0 if v76 > 0.0 else 0.0))
    v477 = (v476 / v72)
    v478 = (1.0 if v87 > 0.0 else 0.0)
    v481 = ((rear_stop_stiffness * v478) * (1.0 if v85 > 0.0 else 0.0))
    v482 = (v481 / v72)
    v483 = (v82 / v72)
    v487 = (((v86 * v478) - (v77 * v473)) / v72)
    v490 = (-(v90 / (v72 * v72)))
    v493 = (((rear_spring_rate + v476) + v481) / v72)
    v496 = ((v458 * v490) + ((-v458) * v493))
    v499 = ((v461 * v490) + ((-v461) * v493))
    v502 = ((v464 * v490) + ((-v464) * v493))
    v505 = ((v467 * v490) + ((-v467) * v493))
    v506 = (v91 * v444)
    v508 = (v506 + (v56 * v496))
    v511 = ((v91 * v445) + (v56 * v499))
    v513 = (v13 * v91)
    v514 = ((v56 * v502) + v513)
    v517 = ((v56 * v505) + (v14 * v91))
    v518 = (v56 * v472)
    v519 = (v56 * v477)
    v520 = (v56 * v482)
    v521 = (v56 * v483)
    v522 = (v56 * v487)
    v523 = (v23 * v448)
    v524 = (v44 * v444)
    v525 = (v44 * v445)
    v526 = (v13 * v44)
    v527 = (v14 * v44)
    v528 = (v40 * v451)
    v538 = (v28 * v444)
    v539 = (v28 * v445)
    v540 = (v13 * v28)
    v541 = (v14 * v28)
    v543 = (-(1.0 / v430))
    v544 = (tension_front_lower_link * v543)
    v546 = (-(1.0 / v437))
    v547 = (tension_front_upper_link * v546)
    v548 = (-v102)
    v549 = (-v103)
    v550 = (v144 / v159)
    v551 = (v155 / v159)
    v554 = ((v444 * v550) + (v9 * v551))
    v557 = ((v444 * v551) + (v445 * v550))
    v560 = ((v549 * v551) + (v102 * v550))
    v563 = ((v102 * v551) + (v103 * v550))
    v568 = (front_spring_rate / v159)
    v569 = (1.0 if v165 > 0.0 else 0.0)
    v572 = ((front_stop_stiffness * v569) * (1.0 if v163 > 0.0 else 0.0))
    v573 = (v572 / v159)
    v574 = (1.0 if v174 > 0.0 else 0.0)
    v577 = ((front_stop_stiffness * v574) * (1.0 if v172 > 0.0 else 0.0))
    v578 = (v577 / v159)
    v579 = (v169 / v159)
    v583 = (((v173 * v574) - (v164 * v569)) / v159)
    v586 = (-(v177 / (v159 * v159)))
    v589 = (((front_spring_rate + v572) + v577) / v159)
    v592 = ((v554 * v586) + ((-v554) * v589))
    v595 = ((v557 * v586) + ((-v557) * v589))
    v598 = ((v560 * v586) + ((-v560) * v589))
    v601 = ((v563 * v586) + ((-v563) * v589))
    v602 = (v178 * v444)
    v604 = (v602 + (v144 * v592))
    v607 = ((v178 * v445) + (v144 * v595))
    v609 = (v102 * v178)
    v610 = ((v144 * v598) + v609)
    v613 = ((v144 * v601) + (v103 * v178))
    v614 = (v144 * v568)
    v615 = (v144 * v573)
    v616 = (v144 * v578)
    v617 = (v144 * v579)
    v618 = (v144 * v583)
    v619 = (v116 * v444)
    v620 = (v116 * v445)
    v621 = (v102 * v116)
    v622 = (v103 * v116)
    v623 = (v112 * v544)
    v624 = (v132 * v444)
    v625 = (v132 * v445)
    v626 = (v102 * v132)
    v627 = (v103 * v132)
    v628 = (v128 * v547)
    v640 = ((v68 * v496) + (v9 * v91))
    v642 = (v506 + (v68 * v499))
    v645 = ((v91 * v453) + (v68 * v502))
    v647 = (v513 + (v68 * v505))
    v648 = (v68 * v472)
    v649 = (v68 * v477)
    v650 = (v68 * v482)
    v651 = (v68 * v483)
    v652 = (v68 * v487)
    v653 = (v192 * v448)
    v654 = (v200 * v451)
    v655 = (v9 * v28)
    v656 = (v28 * v453)
    v657 = (v9 * v44)
    v658 = (v44 * v453)
    v670 = ((v155 * v592) + (v9 * v178))
    v672 = (v602 + (v155 * v595))
    v675 = ((v178 * v549) + (v155 * v598))
    v677 = (v609 + (v155 * v601))
    v678 = (v155 * v568)
    v679 = (v155 * v573)
    v680 = (v155 * v578)
    v681 = (v155 * v579)
    v682 = (v155 * v583)
    v683 = (v213 * v544)
    v684 = (v221 * v547)
    v685 = (v9 * v116)
    v686 = (v116 * v549)
    v687 = (v9 * v132)
    v688 = (v132 * v549)
    v698 = (v213 * v543)
    v699 = (v9 * v114)
    v700 = (v114 * v444)
    v701 = (v114 * v549)
    v702 = (v102 * v114)
    v703 = (v114 * v445)
    v704 = (v103 * v114)
    v705 = (v112 * v543)
    v706 = (v221 * v546)
    v707 = (v9 * v130)
    v708 = (v130 * v444)
    v709 = (v130 * v549)
    v710 = (v102 * v130)
    v711 = (v130 * v445)
    v712 = (v103 * v130)
    v713 = (v128 * v546)
    v714 = (v192 * v447)
    v715 = (v9 * v26)
    v716 = (v26 * v444)
    v717 = (v26 * v453)
    v718 = (v13 * v26)
    v719 = (v23 * v447)
    v720 = (v26 * v445)
    v721 = (v14 * v26)
    v722 = (v200 * v450)
    v723 = (v9 * v42)
    v724 = (v42 * v444)
    v725 = (v42 * v453)
    v726 = (v13 * v42)
    v727 = (v42 * v445)
    v728 = (v14 * v42)
    v729 = (v40 * v450)
    v730 = (v253 * v253)
    v732 = (1.0 - (v258 * v258))
    v741 = ((spin_speed * v732) / v253)
    v744 = (v14 * rear_tyre_stiffness)
    v745 = (rear_tyre_stiffness * v452)
    v749 = (((v260 * grip_factor) * rear_driven) * rear_grip)
    v752 = (((v258 * grip_factor) * rear_driven) * rear_grip)
    v753 = ((-(((v246 * v256) * v732) / v730)) * v749)
    v754 = ((-((v256 * v732) / v730)) * v749)
    v755 = ((v453 * v741) * v749)
    v758 = ((v13 * v741) * v749)
    v763 = (v283 * v283)
    v765 = (1.0 - (v289 * v289))
    v769 = (-(((v246 * v287) * v765) / v763))
    v772 = (-((v287 * v765) / v763))
    v774 = ((v285 * v765) / v283)
    v777 = (((spin_speed * spin_ratio) * v765) / v283)
    v778 = (v549 * v777)
    v779 = (v102 * v777)
    v780 = (v103 * front_tyre_stiffness)
    v781 = (front_tyre_stiffness * v548)
    v785 = (((grip_factor * v291) * front_driven) * front_grip)
    v787 = ((v294 * front_driven) * front_grip)
    v799 = (-sin(grade))
    v800 = (gravity * v799)
    v802 = (-cos(grade))
    v803 = (gravity * v802)
    v819 = (tension_rear_upper_link * v233)
    v820 = (-v819)
    v821 = (-v92)
    v822 = (tension_rear_lower_link * v231)
    v823 = (-v822)
    v824 = (tension_front_lower_link * v227)
    v825 = (-v824)
    v826 = (tension_front_upper_link * v229)
    v827 = (-v826)
    v828 = (-v179)
    v829 = (tension_rear_lower_link * v232)
    v830 = (tension_rear_upper_link * v234)
    v831 = (tension_front_lower_link * v228)
    v832 = (tension_front_upper_link * v230)
    v835 = (tension_front_lower_link * ((-v98) - v100))
    v837 = (tension_front_lower_link * (v206 - v210))
    v840 = (tension_front_upper_link * ((-v118) - v120))
    v842 = (tension_front_upper_link * (v214 - v218))
    v845 = (tension_rear_lower_link * ((-v8) - v11))
    v847 = (tension_rear_lower_link * (v185 - v189))
    v850 = (tension_rear_upper_link * ((-v30) - v32))
    v852 = (tension_rear_upper_link * (v193 - v197))
    v1016 = ((((v258 * rear_tyre_stiffness) * grip_factor) * rear_driven) * rear_grip)
    v1018 = (-v524)
    v1020 = (-v526)
    v1023 = (-v538)
    v1025 = (-v540)
    v1043 = (-v201)
    v1044 = (v59 - v58)
    v1045 = (-v53)
    v1046 = (v19 * tension_rear_lower_link)
    v1047 = (tension_rear_lower_link * v188)
    v1048 = (v37 * tension_rear_upper_link)
    v1049 = (tension_rear_upper_link * v196)
    v1050 = (-(v266 * rear_grip))
    v1052 = ((v240 - v238) - v249)
    v1165 = (((v294 * front_tyre_stiffness) * front_driven) * front_grip)
    v1168 = (((v382 * front_tyre_stiffness) * front_driven) * front_grip)
    v1178 = (-v619)
    v1180 = (-v621)
    v1183 = (-v624)
    v1185 = (-v626)
    v1200 = (-(v296 * front_grip))
    v1202 = ((v273 - v271) - v279)
    v1203 = (-v222)
    v1204 = (v147 - v146)
    v1205 = (-v141)
    v1206 = (v108 * tension_front_lower_link)
    v1207 = (tension_front_lower_link * v209)
    v1208 = (v125 * tension_front_upper_link)
    v1209 = (tension_front_upper_link * v217)
    v1324 = (-v231)
    v1325 = (-v232)
    v1341 = (-v234)
    v1347 = (-v233)
    v1363 = (-v228)
    v1369 = (-v227)
    v1385 = (-v230)
    v1391 = (-v229)
    return (0.0, 0.0, v800, 0.0, 0.0, 0.0, (-v614), 0.0, (-v615), v621, v622, v619, v620, v623, 0.0, 0.0,
        (-v610), (-v613), (-v604), (-v607), (-v616), 0.0, 0.0, (-v617), 0.0, (-v618), 0.0, 0.0, 0.0, v626,
        v627, v624, v625, v628, 0.0, 0.0, 0.0, (chassis_mass * v799), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, (-v518), 0.0, 0.0, (-v519), v540, v541, v538, v539, v523, 0.0, 0.0, (-v514),
        (-v517), (-v508), (-v511), (-v520), 0.0, 0.0, (-v521), 0.0, (-v522), 0.0, 0.0, 0.0, v526, v527, v524,
        v525, v528, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v803, 0.0, 0.0, 0.0, (-v678), 0.0, (-v679), v686, v621,
        v685, v619, v683, 0.0, 0.0, (-v675), (-v677), (-v670), (-v672), (-v680), 0.0, 0.0, (-v681), 0.0,
        (-v682), 0.0, 0.0, 0.0, v688, v626, v687, v624, v684, 0.0, 0.0, 0.0, (chassis_mass * v802), 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (-v648), 0.0, 0.0, (-v649), v656, v540, v655,
        v538, v653, 0.0, 0.0, (-v645), (-v647), (-v640), (-v642), (-v650), 0.0, 0.0, (-v651), 0.0, (-v652),
        0.0, 0.0, 0.0, v658, v526, v657, v524, v654, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v153 * v614) + (v336 * v678)), 0.0, ((v153 * v615) + (v336 * v679)),
        ((v701 * v835) + (v702 * v837)), ((v702 * v835) + (v704 * v837)),
        ((((v6 * v825) - ((v9 * tension_front_lower_link) * v228)) + (v699 * v835)) + (v700 * v837)),
        ((((v6 * v831) + (v700 * v835)) + (v703 * v837)) + (v9 * v825)), ((v698 * v835) + (v705 * v837)),
        0.0, 0.0, ((v153 * v610) + (v336 * v675)), ((v153 * v613) + (v336 * v677)),
        ((((v9 * v179) + (v6 * v222)) + (v153 * v604)) + (v336 * v670)),
        ((((v6 * v828) + (v153 * v607)) + (v336 * v672)) + (v9 * v222)), ((v153 * v616) + (v336 * v680)),
        0.0, 0.0, ((v153 * v617) + (v336 * v681)), 0.0, ((v153 * v618) + (v336 * v682)), 0.0, 0.0, 0.0,
        ((v709 * v840) + (v710 * v842)), ((v710 * v840) + (v712 * v842)),
        ((((v6 * v827) - ((v9 * tension_front_upper_link) * v230)) + (v707 * v840)) + (v708 * v842)),
        ((((v6 * v832) + (v708 * v840)) + (v711 * v842)) + (v9 * v827)), ((v706 * v840) + (v713 * v842)),
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v66 * v518) + (v334 * v648)), 0.0, 0.0, ((v66 * v519) + (v334 * v649)),
        ((v717 * v845) + (v718 * v847)), ((v718 * v845) + (v721 * v847)),
        ((((v6 * v823) - ((v9 * tension_rear_lower_link) * v232)) + (v715 * v845)) + (v716 * v847)),
        ((((v6 * v829) + (v716 * v845)) + (v720 * v847)) + (v9 * v823)), ((v714 * v845) + (v719 * v847)),
        0.0, 0.0, ((v66 * v514) + (v334 * v645)), ((v66 * v517) + (v334 * v647)),
        ((((v9 * v92) + (v66 * v508)) + (v6 * v201)) + (v334 * v640)),
        ((((v66 * v511) + (v6 * v821)) + (v334 * v642)) + (v9 * v201)), ((v66 * v520) + (v334 * v650)), 0.0,
        0.0, ((v66 * v521) + (v334 * v651)), 0.0, ((v66 * v522) + (v334 * v652)), 0.0, 0.0, 0.0,
        ((v725 * v850) + (v726 * v852)), ((v726 * v850) + (v728 * v852)),
        ((((v6 * v820) - ((v9 * tension_rear_upper_link) * v234)) + (v723 * v850)) + (v724 * v852)),
        ((((v6 * v830) + (v724 * v850)) + (v727 * v852)) + (v9 * v820)), ((v722 * v850) + (v729 * v852)),
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, (rear_mass * v799), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        (v348 * rear_grip), v518, (v348 * rear_driven), 0.0, v519, v1025, (-v541), v1023, (-v539), (-v523),
        v800, 0.0, v514, v517, v508, v511, v520, v753, v754, v521, 0.0, v522, 0.0, v1016,
        (((v346 * grip_factor) * rear_driven) * rear_grip), v1020, (-v527), v1018, (-v525), (-v528),
        (v755 + (v14 * v1016)), (v758 + (v452 * v1016)), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (rear_mass * v802), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v648, 0.0, 0.0, v649, (-v656), v1025, (-v655), v1023, (-v653), v803,
        0.0, v645, v647, v640, v642, v650, 0.0, 0.0, v651, 0.0, v652, 0.0, rear_tyre_stiffness, v244,
        (-v658), v1020, (-v657), v1018, (-v654), v744, v745, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, ((v265 * rear_grip) * v1052), ((v518 * v1044) + (v648 * v1045)), (v266 * v1052), 1.0,
        ((v519 * v1044) + (v649 * v1045)),
        ((((v717 * v1046) + (v718 * v1047)) + (v14 * v829)) + (v13 * v822)),
        ((((v452 * v829) + (v718 * v1046)) + (v721 * v1047)) + (v14 * v822)),
        ((v715 * v1046) + (v716 * v1047)), ((v716 * v1046) + (v720 * v1047)),
        ((v714 * v1046) + (v719 * v1047)), 0.0, 0.0,
        ((((v514 * v1044) + (v645 * v1045)) + (v14 * v821)) + (v13 * v1043)),
        ((((v452 * v821) + (v517 * v1044)) + (v647 * v1045)) + (v14 * v1043)),
        ((v508 * v1044) + (v640 * v1045)), ((v511 * v1044) + (v642 * v1045)),
        ((v520 * v1044) + (v650 * v1045)), (v753 * v1052), (v754 * v1052), ((v521 * v1044) + (v651 * v1045)),
        0.0, ((v522 * v1044) + (v652 * v1045)), 0.0,
        ((rear_tyre_stiffness * v368) + ((rear_tyre_stiffness * v752) * v1052)),
        (((v244 * v752) * v1052) + (v244 * v368)),
        ((((v725 * v1048) + (v726 * v1049)) + (v14 * v830)) + (v13 * v819)),
        ((((v452 * v830) + (v726 * v1048)) + (v728 * v1049)) + (v14 * v819)),
        ((v723 * v1048) + (v724 * v1049)), ((v724 * v1048) + (v727 * v1049)),
        ((v722 * v1048) + (v729 * v1049)),
        (((((v453 * v1050) - (v13 * v260)) + (v368 * v744)) + ((v755 + (v744 * v752)) * v1052)) + (v14 * v1050)), (((((v452 * v1050) - (v14 * v260)) + (v368 * v745)) + ((v758 + (v745 * v752)) * v1052)) + (v13 * v1050)), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (v384 * front_grip), v614, (v384 * front_driven), v615, v1180, (-v622), v1178, (-v620), (-v623), v800, 0.0, v610, v613, v604, v607, v616, (v769 * v1168), (v772 * v1168), v617, 0.0, v618, 0.0, v1165, ((v383 * front_driven) * front_grip), v1185, (-v627), v1183, (-v625), (-v628), ((v778 * v1168) + (v103 * v1165)), ((v548 * v1165) + (v779 * v1168)), 0.0, (front_mass * v799), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (v774 * v1168), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v678, 0.0, v679, (-v686), v1180, (-v685), v1178, (-v683), v803, 0.0, v675, v677, v670, v672, v680, 0.0, 0.0, v681, 0.0, v682, 0.0, front_tyre_stiffness, v277, (-v688), v1185, (-v687), v1183, (-v684), v780, v781, 0.0, (front_mass * v802), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v295 * front_grip) * v1202), ((v614 * v1204) + (v678 * v1205)), (v296 * v1202), ((v615 * v1204) + (v679 * v1205)), ((((v701 * v1206) + (v702 * v1207)) + (v102 * v824)) + (v103 * v831)), ((((v548 * v831) + (v702 * v1206)) + (v704 * v1207)) + (v103 * v824)), ((v699 * v1206) + (v700 * v1207)), ((v700 * v1206) + (v703 * v1207)), ((v698 * v1206) + (v705 * v1207)), 0.0, 0.0, ((((v610 * v1204) + (v675 * v1205)) + (v102 * v1203)) + (v103 * v828)), ((((v548 * v828) + (v613 * v1204)) + (v677 * v1205)) + (v103 * v1203)), ((v604 * v1204) + (v670 * v1205)), ((v607 * v1204) + (v672 * v1205)), ((v616 * v1204) + (v680 * v1205)), ((v769 * v785) * v1202), ((v772 * v785) * v1202), ((v617 * v1204) + (v681 * v1205)), 0.0, ((v618 * v1204) + (v682 * v1205)), 0.0, ((front_tyre_stiffness * v403) + ((front_tyre_stiffness * v787) * v1202)), ((v277 * v403) + ((v277 * v787) * v1202)), ((((v709 * v1208) + (v710 * v1209)) + (v102 * v826)) + (v103 * v832)), ((((v548 * v832) + (v710 * v1208)) + (v712 * v1209)) + (v103 * v826)), ((v707 * v1208) + (v708 * v1209)), ((v708 * v1208) + (v711 * v1209)), ((v706 * v1208) + (v713 * v1209)), (((((v549 * v1200) - (v102 * v291)) + (v403 * v780)) + (v103 * v1200)) + (((v778 * v785) + (v780 * v787)) * v1202)), (((((v548 * v1200) - (v103 * v291)) + (v102 * v1200)) + (v403 * v781)) + (((v779 * v785) + (v781 * v787)) * v1202)), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v774 * v785) * v1202), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v453 * v1324) + (v13 * v1325)), ((v13 * v1324) + (v14 * v1325)), ((v444 * v1325) + (v9 * v1324)), ((v444 * v1324) + (v445 * v1325)), ((rear_lower_link_length * v26) + (v447 * (((0.5 * v416) - (0.5 * (v192 * v192))) - (0.5 * (v23 * v23))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v453 * v1347) + (v13 * v1341)), ((v13 * v1347) + (v14 * v1341)), ((v444 * v1341) + (v9 * v1347)), ((v444 * v1347) + (v445 * v1341)), ((rear_upper_link_length * v42) + (v450 * (((0.5 * v423) - (0.5 * (v40 * v40))) - (0.5 * (v200 * v200))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v549 * v1369) + (v102 * v1363)), ((v102 * v1369) + (v103 * v1363)), ((v444 * v1363) + (v9 * v1369)), ((v444 * v1369) + (v445 * v1363)), ((front_lower_link_length * v114) + (v543 * (((0.5 * v430) - (0.5 * (v112 * v112))) - (0.5 * (v213 * v213))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v549 * v1391) + (v102 * v1385)), ((v102 * v1391) + (v103 * v1385)), ((v444 * v1385) + (v9 * v1391)), ((v444 * v1391) + (v445 * v1385)), ((front_upper_link_length * v130) + (v546 * (((0.5 * v437) - (0.5 * (v128 * v128))) - (0.5 * (v221 * v221))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,)
