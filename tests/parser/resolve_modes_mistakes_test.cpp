// Mistakes in modes and accepted findings: a sound harness with one line replaced, and exactly what is said
// of it.
#include <catch2/catch.hpp>

#include "tests/parser/winch.hpp"

namespace resolve_modes_mistakes_test {

using namespace loomward;

TEST_CASE("each mistake in modes and accepted findings is said once, at its place") {
    constexpr Replacement rows[] = {
        {25, "mode parked { }",
         R"(25:6+6 mode parked does not say what S1, K2, U1 and U1.main do [mode-silent] | add a line for each, begin with 'like' another mode, or end with: others at rest)"
         "\n"},
        {25, "mode parked",
         R"(25:6+6 mode parked does not say what S1, K2, U1 and U1.main do [mode-silent] | add a line for each, begin with 'like' another mode, or end with: others at rest)"
         "\n"},
        {25, "mode parked { others at rest, S1 }",
         R"(25:31+2 this line does not say what S1 does [no-verb] | a mode line is parts, then what they do: K1 S1 closed)"
         "\n"},
        {25, "mode parked { others at rest, S1 K2 clossed }",
         R"(25:37+7 'clossed' is nothing that a part does [unknown-word] | write closed | a mode line is parts, then what they do: K1 S1 closed)"
         "\n"},
        {25, "mode parked { others off }",
         R"(25:15+6 'others' can only be at rest [left-over] | write others at rest)"
         "\n"},
        {26, "mode drive { S1 closed, U1 draws 45 A, U1.main on }",
         R"(26:6+5 mode drive does not say what K2 does [mode-silent] | add a line for each, begin with 'like' another mode, or end with: others at rest)"
         "\n"},
        {26, "mode drive { S1 on, K2 released, U1 draws 45 A, U1.main on }",
         R"(26:17+2 a switch cannot be 'on' [wrong-verb] | S1 can be given: closed, open, at rest)"
         "\n"},
        {26, "mode drive { closed S1, K2 released, U1 draws 45 A, U1.main on }",
         R"(26:14+6 the parts come before what they do [verb-first] | write S1 closed)"
         "\n"},
        {26, "mode drive { S1 closed, K2 released, U1 draws 80 A for 30 s then 20 A for 90 s, U1.main on }",
         R"(26:66+2 this profile does not say what comes after its last time [no-end] | end it with a level that stays (then 20 A) or with 'repeating')"
         "\n"},
        {26,
         "mode drive { S1 closed, K2 released, U1 draws 80 A for 30 s then 20 A for 90 s repeatng, U1.main "
         "on }",
         R"(26:80+8 'repeatng' is nothing that a profile says [unknown-word] | write repeating)"
         "\n"},
        {26, "mode drive { S1 closed, K2 released, U1 draws 80 A then 20 A, U1.main on }",
         R"(26:47+2 this level does not say how long it lasts [no-time] | for instance draws 80 A for 30 s then 20 A)"
         "\n"},
        {26, "mode drive { S1 closed, K2 released, U1 draws 80 A for 30 s then 20 A repeating, U1.main on }",
         R"(26:66+2 this level does not say how long it lasts [no-time] | in a repeating profile every level has a time)"
         "\n"},
        {26, "mode drive { S1 closed, K2 released, U1 draws 80 V, U1.main on }",
         R"(26:47+4 'draws' is a current or a power, and 80 V is a voltage [wrong-dimension] | it is written in uA, mA, A, kA or in mW, W, kW)"
         "\n"},
        {26, "mode drive { like parked, H1 draws limit }",
         R"(26:36+5 a load has no limit of its own [wrong-verb] | say what it draws, in A or in W)"
         "\n"},
        {26, "mode drive { S1 closed, S1 open, K2 released, U1 draws 80 A, U1.main on }",
         R"(26:25+2 mode drive says twice what S1 does [twice] | note 26:14+9 the first is here)"
         "\n"},
        {26, "mode drive { like drve, U1 draws 60 A }",
         R"(26:19+4 there is no mode named 'drve' [unknown-mode] | the first mode is 'parked')"
         "\n"},
        {26, R"(mode drive { like climb }
mode climb { like drive })",
         R"(26:19+5 mode drive is like itself: drive is like climb is like drive [mode-circle])"
         "\n"},
        {26, "mode drive { others at rest, like parked }",
         R"(26:30+4 a mode begins with one 'like' and the name of a mode [misplaced] | mode climb { like drive, ... })"
         "\n"},
        {26, "mode drive { like parked, after parkd 3 s }",
         R"(26:33+5 there is no mode named 'parkd' [unknown-mode] | there is a mode named 'parked')"
         "\n"},
        {26, "mode drive { like parked, after parked }",
         R"(26:33+6 'after parked' does not say how long that mode has lasted [missing-attribute] | for instance after parked 3 s)"
         "\n"},
        {26, "mode drive { like parked, U1 draws }",
         R"(26:30+5 'draws' does not say how much [no-amount] | for instance draws 2 A)"
         "\n"},
        {26, "mode drive { like parked, U1 draws 2 A for }",
         R"(26:40+3 'for' does not say how long [no-time] | for instance for 30 s)"
         "\n"},
        {26, "mode drive { like parked, ambient }",
         R"(26:27+7 'ambient' does not say which [no-amount] | for instance ambient -5..40 degC)"
         "\n"},
        {26, "mode drive { like parked, R1 closed }",
         R"(26:30+6 a resistor has no state [wrong-verb] | leave R1 out of the line)"
         "\n"},
        {26, "mode drive { like parked, W1 closed }",
         R"(26:27+2 'W1' is a wire and has no state [wrong-kind] | note 21:13+2 W1 is described here)"
         "\n"},
        {26, "mode drive { like parked, F9 closed }",
         R"(26:27+2 there is no part named 'F9' [unknown-name] | there is a fuse named 'F1')"
         "\n"},
        {26, "mode drive { like parked, U1.+ on }",
         R"(26:27+4 U1.+ has no state of its own [wrong-verb] | driver pins (low-side, high-side) have one: on or off)"
         "\n"},
        {26, "mode drive { like parked, U1.mian on }",
         R"(26:27+7 controller U1 has no terminal 'mian' [no-terminal] | it has U1.+, U1.-, U1.U, U1.V, U1.W, U1.main | note 17:12+2 U1 is described here)"
         "\n"},
        {26, "mode drive { like parked, S1 closed open }",
         R"(26:37+4 'open' is more than 'closed' takes [left-over] | a comma or a line break is missing before 'open')"
         "\n"},
        {26, "mode drive { like parked, T1 closed }",
         R"(26:30+6 nothing in T1 can be 'closed' [wrong-verb])"
         "\n"},
        {26, "mode parked { others at rest }",
         R"(26:6+6 the name parked is used twice [name-twice] | note 25:6+6 first here)"
         "\n"},
        {27, "accept unprotected-wire on W7",
         R"(27:30+1 an accepted finding needs its reason [no-reason] | because "sense lead, 47 kohm at the pack end")"
         "\n"},
        {27, R"(accept unprotected-wires on W7 because "short")",
         R"(27:8+17 there is no rule named 'unprotected-wires' [unknown-rule] | there is a rule 'unprotected-wire')"
         "\n"},
        {27, R"(accept unprotected-wire W7 because "short")",
         R"(27:25+2 an accepted finding needs its place [no-place] | accept unprotected-wire on W7 because "sense lead, 47 kohm at the pack end")"
         "\n"},
        {27, R"(accept unprotected-wire on W77 because "short")",
         R"(27:28+3 there is no part or wire named 'W77' [unknown-name] | there is a wire named 'W7')"
         "\n"},
        {27, R"(accept unprotected-wire on W7 in park because "short")",
         R"(27:34+4 there is no mode named 'park' [unknown-mode] | there is a mode named 'parked')"
         "\n"},
        {27, R"(accept unprotected-wire on B1.x because "short")",
         R"(27:28+4 pack B1 has no terminal 'x' [no-terminal] | it has B1.+, B1.-)"
         "\n"},
        {27, R"(accept unprotected-wire on W7 up to)",
         R"(27:34+2 'up to' does not say how much [no-amount] | up to 5 A)"
         "\n"},
        {27, R"(accept unprotected-wire on W7 because "")",
         R"(27:39+2 an accepted finding needs its reason [no-reason] | because "sense lead, 47 kohm at the pack end")"
         "\n"},
        {27, R"(accept unprotected-wire on W7 because "short" and)",
         R"(27:47+3 'and' is more than 'accept' takes [left-over] | accept unprotected-wire on W7 because "sense lead, 47 kohm at the pack end")"
         "\n"},
    };
    for (const Replacement& row : rows) {
        CAPTURE(row.text);
        CHECK(mistakes_with(row) == row.mistakes);
    }
}

}  // namespace resolve_modes_mistakes_test
