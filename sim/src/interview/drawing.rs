//! Drawings in text. Plain letters, so that every terminal shows them.

/// The drill from above.
pub(super) const DRILL: &str = r"
        tractor          ^ ahead
          |              |
          A  antenna    ---
          |              |  antenna to opener
  +-------+-------+      |
  |  left | right |      |      + offset: to the left
  o o o o | o o o o  <-- openers
  '-------'-------'
   width    width        a side: the outlets that one driven meter shaft feeds";

/// What tells the ground speed.
pub(super) const GROUND: &str = r"
     one turn = circumference            receiver: a speed, so often a second,
        ___                                        each a little late
       /   \  pulses per turn
      |  o  |))) sensor                  bus: the tractor's own speed messages
       \___/
  ______________________ ground";

/// The seed's way.
pub(super) const DELIVERY: &str = r"
   hopper  \___/
   meter    (x)   <- seed leaves the meter now ...
             \
              \    tube length / speed of the seed = delivery delay
               \
   ____________ v__ ... and lies here so much later; the tractor has moved on";

/// The lift and the openers.
pub(super) const LIFT: &str = r"
   switch  lifted |--- in work ---------------| lifted
   openers        .      |---- in ground ---------|
                  |<---->|                    |<->|
                  lowering                   lifting     (ways along the ground)";

/// The encoder.
pub(super) const ENCODER: &str = r"
   meter shaft ===(*)===  disc with teeth
                   |||
                  sensor   _   _   _   _     one tooth = one pulse;
                  signal _| |_| |_| |_| |_   two channels also tell the direction";

/// The meter and what it delivers.
pub(super) const METER: &str = r"
   one turn of the meter shaft ==> so much seed, caught in bags and weighed

   turns per metre = width x rate / mass per turn";

/// The valve map.
pub(super) const VALVE: &str = r"
   shaft speed
     full |            *
          |         .
          |      .
        0 |____*______________
          0  opening   full command
              command                so long nothing happens: dead time; so slowly it follows: lag";

/// The oil side.
pub(super) const OIL: &str = r"
   tractor ==> relief ==> valve ==> motor --(ratio)--> meter shaft
   flow        pressure   flow      displacement       torque it takes, torque it bears

   CAUTION: oil under pressure goes through skin. Follow the machine's manual; leave hoses and settings of relief
   valves to people qualified in hydraulics.";

/// The trial run.
pub(super) const TRIAL: &str = r"
   speed   fast      ____                      row |^|   |v|
           slow  ___/    \___                      | | _ | |  headland: slow down, lift,
                 the ramp                          | |/ \| |  turn, lower, speed up";
