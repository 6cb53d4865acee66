// `loomward new` as it is typed; and commands and options that there are not.
#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"

namespace new_test {

using program::Folder;
using program::run;

TEST_CASE("new writes a harness, which check then asks about") {
    const Folder folder;
    const auto written =
        run(folder, {"new", "cart.loom", "--cells", "13s8p", "--controller", "40A", "--load", "lamp 10W"});
    CHECK(written.out ==
          "cart.loom: written, 7 parts and 8 wires; what was not told is left out, and not known\n"
          "next: loomward check cart.loom\n");
    CHECK(written.code == 0);
    CHECK(run(folder, {"format", "--check", "cart.loom"}).code == 0);
    const auto checked = run(folder, {"check", "cart.loom"});
    CHECK(checked.code < 2);
    CHECK(checked.out.find("find out first (") != std::string::npos);
}

TEST_CASE("new never writes over a file") {
    const Folder folder;
    folder.write("cart.loom", "mine\n");
    const auto refused = run(folder, {"new", "cart.loom"});
    CHECK(refused.code == 2);
    CHECK(refused.trouble == "loomward: there is a file 'cart.loom' already; it stays as it is\n");
    CHECK(folder.read("cart.loom") == "mine\n");
    CHECK(run(folder, {"new", "there/cart.loom"}).trouble ==
          "loomward: cannot write 'there/cart.loom': No such file or directory\n");
    CHECK(folder.names() == std::vector<std::string>{"cart.loom"});
}

TEST_CASE("what is told wrongly is told by its option, and nothing is written") {
    struct Row {
        std::vector<std::string> options;
        std::string trouble;
    };
    const Row row = GENERATE(values<Row>({
        {{"--discharge", "60"}, "--discharge 60: 60 has no unit: 60 A"},
        {{"--voltage", "48 V"}, "--voltage 48 V: 48 V is one number; both ends are wanted, as 40..58 V"},
        {{"--cells", "13"},
         "--cells 13: cells in series and side by side are written together, as 13s8p; one string is 13s1p"},
        {{"--motor", "3"},
         "--motor: it hangs on a controller: --controller \"40 A\", or --controller unknown"},
        {{"--contactor"},
         "--contactor: it stands before a controller: --controller \"40 A\", or --controller unknown"},
        {{"--charge-plug"}, "--charge-plug: it leads to a charger: --charger unknown"},
        {{"--converter", "12 V 10 A"},
         "--converter: it needs --negative common or --negative isolated, and that needs it: whether its two "
         "minus sides are one point decides where the current comes back; measure between them with nothing "
         "connected"},
        {{"--load", "horn 12"}, "--load horn 12: 12 has no unit"},
    }));
    const Folder folder;
    std::vector<std::string> arguments = {"new", "cart.loom"};
    arguments.insert(arguments.end(), row.options.begin(), row.options.end());
    const auto ended = run(folder, arguments);
    CHECK(ended.code == 2);
    CHECK(ended.trouble == "loomward: " + row.trouble + "\n");
    CHECK(folder.names().empty());
}

TEST_CASE("a command or an option that there is not is told with what comes near") {
    struct Row {
        std::vector<std::string> typed;
        std::string trouble;
    };
    const Row row = GENERATE(values<Row>({
        {{"chek", "a.loom"}, "there is no command 'chek'; there is a command 'check'"},
        {{"a.loom"}, "there is no command 'a.loom'; write: loomward check a.loom"},
        {{"fix", "a.loom"}, "there is no command 'fix'; what comes near it is 'mend'"},
        {{"help"}, "there is no command 'help'; write: loomward --help"},
        {{"check", "a.loom", "--formt", "json"},
         "check has no option '--formt'; there is an option '--format'"},
        {{"check", "a.loom", "--formt=json"}, "check has no option '--formt'; there is an option '--format'"},
        {{"zones", "a.loom", "--mode", "x"},
         "zones has no option '--mode'; check, draw, budget, endurance, failures, report, readings and spice "
         "have it"},
        {{"check", "a.loom", "-o", "x"},
         "check has no option '-o'; draw, report, schedules, power-up, hand-over and spice have it"},
        {{"format", "a.loom", "--zzzzzzz"},
         "format has no option '--zzzzzzz'; its options are --help, -h, --write, --check, --color"},
        {{"new", "a.loom", "--converterr", "x"},
         "new has no option '--converterr'; there is an option '--converter'"},
    }));
    const Folder folder;
    const auto ended = run(folder, row.typed);
    CHECK(ended.code == 2);
    CHECK(ended.trouble == "loomward: " + row.trouble + "\n");
}

TEST_CASE("a value that begins with a dash is no option") {
    const Folder folder;
    CHECK(run(folder, {"new", "-", "--ambient", "-5..40 degC"}).out.find("{ ambient -5..40 degC }") !=
          std::string::npos);
}

}  // namespace new_test
