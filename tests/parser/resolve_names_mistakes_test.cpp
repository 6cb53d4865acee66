// Mistakes in files, statements and names: a sound harness with one line replaced, and exactly what is said
// of it.
#include <catch2/catch.hpp>

#include "tests/parser/winch.hpp"

namespace resolve_names_mistakes_test {

using namespace loomward;

TEST_CASE("each mistake in files, statements and names is said once, at its place") {
    constexpr Replacement rows[] = {
        {1, "# no edition",
         R"(2:1+3 the file does not begin with its language edition [no-edition] | the first line is: loom 1)"
         "\n"},
        {1, "loom 3",
         R"(1:6+1 edition 3 of the language is not known to this program [edition] | this program reads edition 1)"
         "\n"},
        {1, "",
         R"(2:1+3 the file does not begin with its language edition [no-edition] | the first line is: loom 1)"
         "\n"},
        {2, R"(use "shelfs.loom")",
         R"(2:5+13 there is no file 'shelfs.loom' beside this one [no-file] | there is a file 'shelf.loom')"
         "\n"},
        {2, R"(use "../other/shelf.loom")",
         R"(2:5+21 '../other/shelf.loom' leaves the folder of the harness [outside] | files are named from the folder of the file that uses them, with forward slashes)"
         "\n"},
        {2, R"(use "/etc/shelf.loom")",
         R"(2:5+17 '/etc/shelf.loom' leaves the folder of the harness [outside] | files are named from the folder of the file that uses them, with forward slashes)"
         "\n"},
        {2, "use shelf",
         R"(2:5+5 'use' needs the name of a file [missing-name] | its name is written as a text: use "shelf.loom")"
         "\n"},
        {2, R"(use "shelf.loom" "more.loom")",
         R"(2:18+11 '"more.loom"' is more than 'use' takes [left-over] | each file has a line of its own: use "shelf.loom")"
         "\n"},
        {12, "fuse { 100 A, 58 V dc, breaks 2 kA, curve iso8820-5 }",
         R"(12:1+4 this fuse has no name [missing-name] | fuse F1 { ... })"
         "\n"},

        {15, "relay K2 { carries 10 A }",
         R"(15:7+2 'contacts' of relay K2 is missing [missing-attribute] | for instance contacts change-over)"
         "\n"},
        {12, "fuse F1 is red16",
         R"(12:12+5 there is no part named 'red16' [unknown-name])"
         "\n"},
        {12, "fuse F1 is lead10",
         R"(12:12+6 F1 is a fuse, and lead10 is a wire [wrong-kind] | a wire is written inside a route: (W1 is lead10, 0.2 m) | note 4:6+6 lead10 is described here)"
         "\n"},
        {12, "fuse F1 is corner",
         R"(12:12+6 F1 is a fuse, and corner is an assembly [wrong-kind] | write assembly F1 is corner | note 5:6+6 corner is described here)"
         "\n"},
        {12, "fuse F1 is fuse { 100 A, 58 V dc, breaks 2 kA, curve iso8820-5 }",
         R"(12:12+4 'is' names a part, not a kind [unknown-name] | leave 'is fuse' out, or describe a part: part my-fuse is fuse { ... })"
         "\n"},
        {12, "fuse F1 is",
         R"(12:9+2 after 'is' comes the name of a part [missing-name] | fuse F1 is main-fuse { ... })"
         "\n"},
        {12, "fuse F1 is bolt-fus { 100 A }",
         R"(12:12+8 there is no part named 'bolt-fus' [unknown-name] | there is a fuse named 'bolt-fuse')"
         "\n"},
        {12, R"(fuse F1 is bolt-fuse "main" { 100 A })",
         R"(12:22+6 the label "main" stands after 'is' [left-over] | a label stands right after the name: fuse F1 "main" is bolt-fuse)"
         "\n"},
        {12, R"(fuse F1 "main" extra { 100 A, 58 V dc, breaks 2 kA, curve iso8820-5 })",
         R"(12:16+5 'extra' is more than fuse F1 takes [left-over] | a statement is a kind, a name and a block: fuse F1 { ... })"
         "\n"},
        {16, "resister R1 { 47 ohm, 25 W }",
         R"(16:1+8 no statement begins with 'resister' [unknown-statement] | write resistor)"
         "\n"},
        {16, "resistor s1 { 47 ohm, 25 W }",
         R"(16:10+2 s1 and S1 differ only in their capitals [names-alike] | note 13:8+2 S1 is here)"
         "\n"},
        {16, "resistor S1 { 47 ohm, 25 W }",
         R"(16:10+2 the name S1 is used twice [name-twice] | note 13:8+2 first here)"
         "\n"},
        {16, "resistor R.1 { 47 ohm, 25 W }",
         R"(16:10+3 'R.1' is not a name [malformed-name] | a name is a letter, then letters, digits and '_', with hyphens inside)"
         "\n"},
        {16, "resistor open { 47 ohm, 25 W }",
         R"(16:10+4 'open' is a word of the language, not a name [reserved-name] | choose another name)"
         "\n"},
        {16, "wire W40 { 1 mm2, 0.3 m }",
         R"(16:1+4 a wire is written inside a route [unknown-statement] | route F1.out (W1 16 mm2, 0.2 m, red) K1.in)"
         "\n"},
        {16, "variant wet { }",
         R"(16:1+7 no statement begins with 'variant' [unknown-statement] | the word is kept for a later edition of the language)"
         "\n"},
        {16, R"("text" R1)",
         R"(16:1+6 no statement begins with '"text"' [unknown-statement] | a statement is a kind, a name and a block: fuse F1 { ... })"
         "\n"},
        {16, "port here",
         R"(16:1+4 a port stands inside an assembly [misplaced] | part bay is assembly { port in+ ... })"
         "\n"},
        {16, "loom 1",
         R"(16:1+4 'loom' stands at the beginning of a file [misplaced])"
         "\n"},
        {16, R"(harness "Two" { ambient 5..35 degC })",
         R"(16:1+7 there are two harness statements [twice] | note 3:1+7 the first is here)"
         "\n"},
        {3, "# none",
         R"(1:1+1 the file has no harness statement [no-harness] | it names the whole and says where it is used: harness "Market cart" { ambient -5..40 degC })"
         "\n"},
        {3, "harness { ambient 5..35 degC }",
         R"(3:1+7 the harness has no title [missing-name] | its title is a text: harness "Market cart" { ambient -5..40 degC })"
         "\n"},
        {25, R"(part a is b
part b is a
mode parked { others at rest })",
         R"(25:11+1 part a is built on itself: a is b is a [part-circle])"
         "\n"},
        {25, R"(part a is fus { 10 A }
mode parked { others at rest })",
         R"(25:11+3 there is no part named 'fus' [unknown-name] | write fuse)"
         "\n"},
        {25, R"(part a { 10 A }
mode parked { others at rest })",
         R"(25:1+4 part a does not say what it is [missing-name] | part a is fuse { ... })"
         "\n"},
        {25, R"(part a is assembly { assembly X1 is b }
part b is assembly { assembly X1 is a }
mode parked { others at rest })",
         R"(26:37+1 part a is built on itself: a holds b holds a [part-circle])"
         "\n"},
        {25, R"(part a is assembly { mode m { } }
mode parked { others at rest })",
         R"(25:22+4 'mode' cannot stand inside an assembly [misplaced] | an assembly holds parts, ports, routes, cables, bundles, locations and stretches)"
         "\n"},
        {25, R"(fuse F3 is bolt-fuse { 100 A, holder X3.9 }
fuse-block X3 { ways 4, feed common, carries 60 A, way-carries 20 A }
mode parked { others at rest })",
         R"(25:38+4 fuse block X3 has no way '9' [no-terminal] | it has X3.1 to X3.4 | note 26:12+2 X3 is described here)"
         "\n"},
        {25, R"(fuse F3 is bolt-fuse { 100 A, holder X3.1 }
fuse F4 is bolt-fuse { 100 A, holder X3.1 }
fuse-block X3 { ways 4, feed common, carries 60 A, way-carries 20 A }
mode parked { others at rest })",
         R"(26:38+4 two fuses sit in X3.1 [way-twice] | note 25:38+4 first here)"
         "\n"},
        {25, R"(bms Q9 { side high, drives X9, discharge 9 A, charge 3 A, trips 20 A after 1 s }
stud X9
mode parked { others at rest })",
         R"(25:28+2 'X9' is a stud, and a bms drives a contactor [wrong-kind] | note 26:6+2 X9 is described here)"
         "\n"},
        {27, R"(load H2 { 24 V, 21 W, at cabin }
location cabn { ambient 0..10 degC })",
         R"(27:26+5 there is no location named 'cabin' [unknown-name] | there is a location named 'cabn')"
         "\n"},
    };
    for (const Replacement& row : rows) {
        CAPTURE(row.text);
        CHECK(mistakes_with(row) == row.mistakes);
    }
}

}  // namespace resolve_names_mistakes_test
