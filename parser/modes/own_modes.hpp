// Modes for a text that states none.
#pragma once
#include "parser/harness.hpp"
#include "parser/text/arena.hpp"

namespace loomward {

// Appends modes of the program's own (Mode::own) to a harness that has none, so that it is judged all the
// same:
//
//   at rest            every part as it stands at rest
//   everything on      hand switches and contactors closed, relays energised, breakers closed, selectors in
//                      their first position other than rest, driver pins and loads on, controllers at their
//                      limit; left out where it would be the same as at rest
//   NAME at its limit  the same, but of several controllers this one alone at its limit, the others on with
//                      nothing asked of them
//   charging           as everything on, but controllers and loads off and every charger at its limit; where
//                      there is a charger
//
// and into Harness::modes_between, of which the checker takes those that bring something new:
//
//   everything on but NAME     the same with one switch, contactor or relay at rest
//   everything on, NAME at P   the same with a selector in a further position
//   charging but NAME          likewise
//
// Of these StatedBy is `rest`: they call for nothing. None are made where there are very many contacts.
//
// The reader knows no physics: what shorts a source and which coils get a voltage is settled by the checker
// (checker/currents/own_modes). The names hold a blank, so that no mode of a text can have them. Their
// places are that of the harness statement. Of those states of the first four that differ from rest
// StatedBy is `line`, so
// that whoever asks what a mode closes finds it. Made-up names go into `arena`, which has to be that of the
// harness.
void add_own_modes(Harness& harness, Arena& arena);

}  // namespace loomward
