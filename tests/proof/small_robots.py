"""Small robots for the lists of building and proving, with what is on them worked out by hand."""

from __future__ import annotations

TWO_PLATES = """
robot: Two plates
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm, at: [30 cm, 8 cm]}
main breaker: {part: breaker/main-120a, at: [20 cm, 8 cm], lead length: 20 cm}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 20 cm, at: [30 cm, 30 cm]}
  sub: {part: block/sub-6-light, from: block, at: [50 cm, 30 cm]}
mechanisms:
  left front: {motor: motor/brushless-500w, controller: controller/inline-40a, at: [6 cm, 52 cm], id: 1, slot: H1}
  left rear: {motor: motor/brushless-500w, controller: controller/inline-40a, at: [6 cm, 8 cm], id: 2, slot: H2}
  arm: {motor: motor/brushless-500w, controller: controller/inline-40a, at: [30 cm, 50 cm], height: 30 cm,
        rides on: left rear, id: 3, slot: H4}
electronics:
  robot controller: {part: computer/robot-controller, feed: fused, at: [45 cm, 20 cm]}
  vision: {part: computer/vision-12v, from: sub, at: [52 cm, 50 cm]}
  regulator: {part: regulator/12v-3a-5v-3a, feed: fused, at: [15 cm, 40 cm]}
  radio: {part: radio/generic, from: regulator, over: network cable, at: [45 cm, 40 cm], height: 50 cm}
lights:
  beacon: {part: light/signal, at: [40 cm, 45 cm], height: 55 cm, jumper: yes}
sensors:
  reach: {part: sensor/limit-switch, port: digital 0}
data:
  chain: {order: [robot controller, left rear, left front, arm, block], terminators: [robot controller, block]}
  net: {kind: network, links: [[robot controller, regulator]]}
plate:
  outline: [[0, 0], [60 cm, 0], [60 cm, 60 cm], [0, 60 cm]]
  trunks:
    left rail: {along: [[12 cm, 5 cm], [12 cm, 55 cm]], sharp edge: yes}
    right rail: [[48 cm, 5 cm], [48 cm, 55 cm]]
    waist: [[12 cm, 45 cm], [48 cm, 45 cm]]
    tower: {along: [[30 cm, 45 cm], [30 cm, 45 cm, 30 cm]], moving: yes, travel: 60 cm}
    mast: [[48 cm, 45 cm], [48 cm, 45 cm, 50 cm]]
plates:
  deck:
    height: 50 cm
    outline: [[36 cm, 36 cm], [52 cm, 36 cm], [52 cm, 52 cm], [36 cm, 52 cm]]
    trunks:
      deck rail: [[40 cm, 45 cm], [48 cm, 45 cm]]
"""
