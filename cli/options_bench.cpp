#include "cli/options_bench.hpp"

#include <CLI/CLI.hpp>

namespace loomward::cli {
namespace {

void add_file(CLI::App& command, Options& options) {
    const auto take = [&options](const std::string& path) { options.files = {path}; };
    command.add_option_function<std::string>("FILE", take, "harness file; - is standard input")
        ->type_name("")
        ->required();
}

void add_output(CLI::App& command, Options& options, const char* meaning, const char* name) {
    command.add_option("-o,--output", options.output, meaning)->type_name(name)->required();
}

void add_format(CLI::App& command, std::string& format) {
    CLI::Validator known = CLI::IsMember({"text", "json"});
    known.description("");
    command.add_option("--format", format, "text (default) or json")->type_name("FORMAT")->check(known);
}

void add_power_up(CLI::App& app, Options& options) {
    CLI::App* command = app.add_subcommand(
        "power-up", "Write the sheet for the first power-up: steps, probes, what the meter should show");
    add_file(*command, options);
    add_output(*command, options, "where to: *.html, or -", "SHEET.html");
    command->add_option("--readings", options.readings_file, "also a text with a blank for each reading")
        ->type_name("NEW.loom");
    command->footer(R"(Examples:
  loomward power-up cart.loom -o cart-power-up.html
  loomward power-up cart.loom -o cart-power-up.html --readings cart-readings.txt
  loomward readings cart.loom cart-readings.txt   what they say, once they are filled in

With errors in the harness only the steps that need no pack are written, and the exit status is 1.)");
    command->callback([&options] { options.command = Command::power_up; });
}

void add_readings(CLI::App& app, Options& options, std::string& format) {
    CLI::App* command = app.add_subcommand(
        "readings",
        "Compare what a meter showed, or the log of a run, with what it should be; name the bad joint");
    add_file(*command, options);
    command
        ->add_option("MEASURED", options.measured, "text with the readings, as power-up --readings begins it")
        ->type_name("");
    CLI::Option* log = command
                           ->add_option("--log", options.run_log,
                                        "in its place the log of a run: CSV with a head for each column")
                           ->type_name("RUN.csv");
    command->add_option("--mode", options.mode, "the mode the machine was in (with --log)")
        ->type_name("NAME")
        ->needs(log);
    add_format(*command, format);
    command->footer(R"(Examples:
  loomward readings cart.loom cart-readings.txt
  loomward readings cart.loom cart-readings.txt --format json   (docs/readings.schema.json)
  loomward readings cart.loom --log hill.csv --mode climb       (docs/bench.md)

Exit status: 0 every reading is as expected, 1 one is not, 2 the input is wrong.)");
    command->callback([&options] { options.command = Command::readings; });
}

void add_hand_over(CLI::App& app, Options& options) {
    CLI::App* command = app.add_subcommand(
        "hand-over",
        "Write the sheet that the customer keeps: switching off, fuses for the lid, the drawing");
    add_file(*command, options);
    add_output(*command, options, "where to: *.html, or -", "SHEET.html");
    command->footer(R"(Examples:
  loomward hand-over cart.loom -o cart-customer.html

Nothing is written while errors stand that nobody has accepted; the exit status is 1 then.)");
    command->callback([&options] { options.command = Command::hand_over; });
}

void add_compare(CLI::App& app, Options& options, std::string& format) {
    CLI::App* command =
        app.add_subcommand("compare", "Tell what changed between two revisions, and what changes by it");
    command->add_option("OLD NEW", options.files, "two harness files")
        ->type_name("")
        ->required()
        ->expected(2);
    command->add_flag("--all", options.all_changes, "every line, not only the first twenty of a kind");
    add_format(*command, format);
    command->footer(R"(Examples:
  loomward compare cart-b.loom cart-c.loom
  loomward compare cart-b.loom cart-c.loom --format json   (docs/compare.schema.json)

Exit status: that of checking NEW.)");
    command->callback([&options] { options.command = Command::compare; });
}

void add_spice(CLI::App& app, Options& options) {
    CLI::App* command = app.add_subcommand(
        "spice", "Write one mode or short circuit as a deck for a general circuit simulator");
    add_file(*command, options);
    CLI::Option* mode =
        command->add_option("--mode", options.mode, "the mode; its first level where it has a profile")
            ->type_name("NAME");
    command
        ->add_option("--fault", options.shorted,
                     "a short circuit in its first moment: a wire or terminal, and the one it touches")
        ->type_name("PLACE")
        ->expected(1, 2)
        ->excludes(mode);
    command->add_flag("--full", options.full_corner, "pack full, everything cold (else empty and hot)");
    command->add_option("-o,--output", options.output, "where to; without it to standard output")
        ->type_name("DECK.cir");
    command->footer(R"(Examples:
  loomward spice cart.loom --mode climb -o climb.cir
  loomward spice cart.loom --mode climb --full
  loomward spice cart.loom --fault W7 --full -o short.cir)");
    command->callback([&options] {
        options.command = Command::spice;
        if (options.mode.empty() && options.shorted.empty()) throw CLI::RequiredError("--mode or --fault");
    });
}

}  // namespace

void add_bench_commands(CLI::App& app, Options& options, std::string& format) {
    add_power_up(app, options);
    add_readings(app, options, format);
    add_hand_over(app, options);
    add_compare(app, options, format);
    add_spice(app, options);
}

}  // namespace loomward::cli
