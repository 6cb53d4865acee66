// Files that use each other, and what is not said twice.
#include <algorithm>
#include <catch2/catch.hpp>

#include "parser/disk.hpp"
#include "tests/parser/resolve_support.hpp"

namespace resolve_files_test {

using namespace loomward;

namespace {

const std::string head = "loom 1\nharness \"Rig\" { ambient 5..35 degC }\n";

}  // namespace

TEST_CASE("a used file is read once, whoever uses it, and its statements join the whole") {
    MemoryFiles files{
        {"rig.loom", head + "use \"a.loom\"\nuse \"./sub/b.loom\"\nstud X1 is post\nstud X2 is pin\n"},
        {"a.loom", "loom 1\nuse \"sub/b.loom\"\npart post is stud { torque 6 Nm }\n"},
        {"sub/b.loom", "loom 1\nuse \"c.loom\"\npart pin is stud { torque 3 Nm }\n"},
        {"sub/c.loom", "loom 1\nstud X3\n"}};
    const ReadResult result = read_harness("rig.loom", files, {test_rules});
    REQUIRE(result.harness);
    CHECK(print_model(*result.harness) ==
          "part stud X1 is post {torque 6 Nm} X1\n"
          "part stud X2 is pin {torque 3 Nm} X2\n"
          "part stud X3 {} X3\n");
    CHECK(files.reads ==
          std::map<std::string, int>{{"rig.loom", 1}, {"a.loom", 1}, {"sub/b.loom", 1}, {"sub/c.loom", 1}});
}

TEST_CASE("files that use each other in a circle are named in the order of their use") {
    MemoryFiles files{{"rig.loom", head + "use \"a.loom\"\n"},
                      {"a.loom", "loom 1\nuse \"b.loom\"\n"},
                      {"b.loom", "loom 1\nuse \"a.loom\"\n"}};
    CHECK(mistakes_of(read_harness("rig.loom", files, {test_rules})) ==
          "b.loom:2:5+8 'a.loom' is used by itself: a.loom uses b.loom uses a.loom [use-circle]\n");
}

TEST_CASE("a used file has no harness, and its mistakes carry its own name") {
    MemoryFiles files{
        {"rig.loom", head + "use \"a.loom\"\nfuse F1 is pill\n"},
        {"a.loom", "loom 1\nharness \"Other\" { ambient 5..35 degC }\npart pill is fuse { 5 A, 5 A }\n"}};
    CHECK(
        mistakes_of(read_harness("rig.loom", files, {test_rules})) ==
        "a.loom:2:1+7 a file that is used has no harness statement [misplaced] | the harness is described in "
        "the file "
        "that uses it\n"
        "a.loom:3:26+1 fuse pill has its rated current twice [twice] | nameless values: rated current in A, "
        "rated voltage in V | note a.loom:3:21+1 the first is here\n");
}

TEST_CASE("a file that cannot be read is one mistake, and nothing that may be in it is called unknown") {
    MemoryFiles files;
    CHECK(mistakes_of(read_harness("rig.loom", files, {test_rules})) ==
          "1:1+1 the file 'rig.loom' cannot be read [no-file]\n");
    CHECK(mistakes_of(read_test(head + "use \"a.loom\"\nstud X1 is post\nroute X1 (W1 1 mm2, 1 m) X7\n")) ==
          "3:5+8 there is no file 'a.loom' beside this one [no-file]\n");
}

TEST_CASE("one mistake gives one message") {
    struct Row {
        std::string_view statements, mistakes;
    };
    constexpr Row rows[] = {
        // a part with a bad attribute is there, but its terminals and its state are not judged
        {"connector J1 { mate P1, half pin, contacts 0, carries 9 A, 60 V, takes 1..2 mm2, rated-at 20 degC,"
         " limit 90 degC }\nstud X1\nroute X1 (W1 1 mm2, 1 m) J1.4 (W2 1 mm2, 1 m) X1\nroute X1 (W3 1 mm2, 1 "
         "m) P1.9\n",
         "3:44+1 a connector cannot have 0 contacts [out-of-range] | from 1 to 1000 are accepted\n"},
        {"switch S1 { 24 V dc, caries 9 A, breaks none }\nmode m { S1 closed }\nmode n { }\n",
         "3:22+6 'caries' is not an attribute of a switch [unknown-attribute] | write carries | they are "
         "nominal, carries, breaks, "
         "makes, withstands, resistance, poles, rest, highest-ambient, stop, hand, note, doubt, order, at, "
         "marks, spare, torque\n"},
        // a name is called unknown once
        {"stud X1\nroute X1 (W1 1 mm2, 1 m) Y9\nroute X1 (W2 1 mm2, 1 m) Y9\nmode m { Y9 closed }\n",
         "4:26+2 there is no part named 'Y9' [unknown-name]\n"},
        // what stands in a statement that could not be read is not called unknown
        {"stud X1\nfuse F1 { 5 A; 32 V dc, breaks 1 kA, curve iso8820-3 }\nroute X1 (W1 1 mm2, 1 m) F1.in\n",
         "4:14+1 ';' has no meaning here [stray] | attributes are separated by commas or line breaks\n"},
        {"stud X1\nresister R1 { 5 ohm, 1 W }\nroute X1 (W1 1 mm2, 1 m) R1.in\n",
         "4:1+8 no statement begins with 'resister' [unknown-statement] | write resistor\n"},
        // a mode like a silent one, or like a bad one, is not called silent too
        {"switch S1 { 24 V dc, carries 9 A, breaks none }\nmode a { }\nmode b { like a }\n",
         "4:6+1 mode a does not say what S1 does [mode-silent] | add a line for each, begin with 'like' "
         "another mode, or "
         "end with: others at rest\n"},
        {"switch S1 { 24 V dc, carries 9 A, breaks none }\nmode a { S1 closd }\nmode b { like a }\n",
         "4:13+5 'closd' is nothing that a part does [unknown-word] | write closed | a mode line is parts, "
         "then what they "
         "do: K1 S1 closed\n"},
        // a type with a mistake is told of once, however many parts are fitted from it
        {"part lamp is load { 24 V, 9 W, works 9 V }\nload H1 is lamp\nload H2 is lamp\n",
         "3:38+3 9 V is one value, and 'works' is a range [not-a-range] | both ends are written: works "
         "40..58 V\n"},
        {"part lamp is lod { 24 V, 9 W }\nload H1 is lamp\nload H2 is lamp\n",
         "3:14+3 there is no part named 'lod' [unknown-name] | write load\n"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.statements);
        CHECK(mistakes_of(read_test(head + std::string(row.statements))) == row.mistakes);
    }
}

TEST_CASE("a misspelt first line or harness statement is said once") {
    CHECK(
        mistakes_of(read_test("loomm 1\nharness \"Rig\" { ambient 5..35 degC }\nstud X1\n")) ==
        "1:1+5 the file does not begin with its language edition [no-edition] | the first line is: loom 1\n");
    CHECK(mistakes_of(read_test("loom 1\nharnes \"Rig\" { ambient 5..35 degC }\nstud X1\n")) ==
          "2:1+6 no statement begins with 'harnes' [unknown-statement] | write harness\n");
}

TEST_CASE("ten mistakes in one file are ten messages in the order of the file") {
    const ReadResult result = read_test(head +
                                        "stud X1 { torque 6 }\n"
                                        "fuse F1 { 5 A, 32 V dc, breaks 1 kA, curve iso8820-33 }\n"
                                        "resister R1 { 5 ohm, 1 W }\n"
                                        "load H1 { 24 V, 9 W, works 30..9 V }\n"
                                        "load h1 { 24 V, 9 W }\n"
                                        "route X1 (W1 1,5 mm2, 1 m) H1.+\n"
                                        "route X1 (W2 1 mm2, 1 m) H3.+\n"
                                        "route X1 (W3 1 mm2, 1 m)\n"
                                        "mode a { like b }\n"
                                        "accept flooting on X1 because \"no\"\n");
    std::string ids;
    for (const Diagnostic& mistake : result.mistakes)
        ids += std::to_string(result.sources->position(mistake.where).line) + " " + mistake.id + "\n";
    CHECK(ids ==
          "3 missing-unit\n4 unknown-word\n5 unknown-statement\n6 downward-range\n7 names-alike\n"
          "8 decimal-comma\n9 unknown-name\n10 open-ended\n11 unknown-mode\n12 unknown-rule\n");
}

TEST_CASE("of very many mistakes a hundred are shown and the rest is counted") {
    std::string text = head;
    for (int i = 0; i < 130; ++i) text += "stud X\n";
    const ReadResult result = read_test(text);
    REQUIRE(result.mistakes.size() == 101);
    CHECK(mistake_line(result.mistakes[99], *result.sources) ==
          "103:6+1 the name X is used twice [name-twice] | note 3:6+1 first here\n");
    CHECK(result.mistakes[100].message == "29 more mistakes in this file are not shown");
}

TEST_CASE("the same text gives the same model and the same mistakes") {
    const std::string good = head + "stud X1\nstud X2\nroute X1 (W1 1 mm2, 1 m) X2\n";
    CHECK(model_of(good) == model_of(good));
    const std::string bad = head + "stud X1\nroute X1 (W1 1 mm2, 1 m) X3\nroute X4 (W1 1 mm2, 1 m) X1\n";
    CHECK(model_of(bad) == model_of(bad));
    CHECK(model_of(bad) != model_of(good));
}

TEST_CASE("the reader of files on disk finds what is there, and nothing where nothing is") {
    const auto files = disk_reader();
    const std::string folder = LOOMWARD_SOURCE_DIR "/examples/";
    const std::optional<std::string> text = files->read(folder + "market-cart.loom");
    REQUIRE(text);
    CHECK(text->starts_with("loom 1\n"));
    CHECK_FALSE(files->read(folder + "no-such-file.loom"));
    CHECK_FALSE(files->read(folder));
    const std::vector<std::string> beside = files->beside(folder + "market-cart.loom");
    CHECK(std::find(beside.begin(), beside.end(), "shelf.loom") != beside.end());
    CHECK(std::is_sorted(beside.begin(), beside.end()));
}

}  // namespace resolve_files_test
