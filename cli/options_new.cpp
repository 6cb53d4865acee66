// The options of the command that writes a first harness.
#include <CLI/CLI.hpp>

#include "cli/new_options.hpp"
#include "cli/option_examples.hpp"
#include "cli/option_words.hpp"

namespace loomward::cli {
namespace {

void add_new_sources(CLI::App& command, NewWords& first) {
    command.add_option("--name", first.name, "what the harness is called (default: as its file)")
        ->type_name("TEXT");
    command.add_option("--document", first.document, "number its papers are filed by")->type_name("TEXT");
    command.add_option("--date", first.date, "of issue")->type_name("TEXT");
    command.add_option("--drawn-by", first.drawn_by, "who writes it")->type_name("TEXT");
    command.add_option("--ambient", first.ambient, "coldest to hottest: \"-5..40 degC\"")->type_name("RANGE");
    CLI::Option* cells =
        command.add_option("--cells", first.cells, "of the pack: 13s8p")->type_name("SERIES");
    command.add_option("--voltage", first.voltage, "of the pack, empty to full: \"40..54.6 V\"")
        ->type_name("RANGE")
        ->excludes(cells);
    command.add_option("--capacity", first.capacity, "of the pack: \"20 Ah\"")->type_name("CHARGE");
    command.add_option("--discharge", first.discharge, "what the pack may give for long: \"60 A\"")
        ->type_name("AMPS");
    command.add_option("--charge", first.charge, "what the pack may be given: \"10 A\"")->type_name("AMPS");
    command.add_option("--bms", first.bms_side, "a battery management in the minus (low) or plus (high)")
        ->type_name("SIDE")
        ->check(one_of({"low", "high"}));
    command.add_flag("--separate-ports", first.separate_ports, "it has a port of its own for charging");
    command.add_option("--main-fuse", first.main_fuse, "\"80 A\"; left out, one of unknown rating")
        ->type_name("AMPS");
    command.add_flag("--isolator", first.isolator, "a switch behind the main fuse");
    command.add_option("--charger", first.charger, "\"54.6 V 5 A\", or unknown")->type_name("OUTPUT");
    command.add_flag("--charge-plug", first.charge_plug, "the charger stands outside, behind a plug");
}

}  // namespace

void add_new(CLI::App& app, Words& words) {
    CLI::App* first =
        app.add_subcommand("new", "Write a first harness from what you know; the rest is left open");
    first
        ->add_option("FILE", words.options.files,
                     "where to; a file that is there stays as it is; - is standard output")
        ->type_name("")
        ->required()
        ->expected(1);
    NewWords& typed = words.first;
    add_new_sources(*first, typed);
    first->add_option("--controller", typed.controller, "its largest supply current: \"40 A\", or unknown")
        ->type_name("AMPS");
    first->add_option("--motor", typed.motor, "a motor on it, with 2 or 3 leads")
        ->type_name("LEADS")
        ->check(one_of({"2", "3"}));
    first->add_flag("--contactor", typed.contactor, "a main contactor before the controller, and a key");
    first->add_option("--converter", typed.converter, "what it gives: \"12 V 10 A\", or unknown")
        ->type_name("OUTPUT");
    first->add_option("--negative", typed.negative, "of the converter: common or isolated")
        ->type_name("HOW")
        ->check(one_of({"common", "isolated"}));
    first->add_option("--load", typed.loads, "\"head lamp 12 V 10 W\": behind the converter, if there is one")
        ->type_name("WHAT")
        ->expected(1)
        ->take_all();
    first->add_option("--pack-load", typed.pack_loads, "the same, at the pack's voltage all the same")
        ->type_name("WHAT")
        ->expected(1)
        ->take_all();
    first->add_flag("--switches", typed.switched, "each load behind a switch of its own");
    first->add_flag("--no-fuses", typed.without_fuses, "put in no fuse that is not told");
    add_color(*first, words);
    first->footer(new_examples);
    first->callback([&words] { words.options.command = Command::write_first; });
}

}  // namespace loomward::cli
