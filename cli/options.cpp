// The command line, by the library that option_words.hpp names.
#include "cli/options.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <sstream>

#include "cli/command_tables.hpp"
#include "cli/near_miss.hpp"
#include "cli/option_examples.hpp"
#include "cli/option_words.hpp"
#include "cli/options_bench.hpp"

namespace loomward::cli {
namespace {

void add_check(CLI::App& app, Words& words) {
    CLI::App* check =
        app.add_subcommand("check", "Compute currents, check protection and ratings, list what is wrong");
    add_files(*check, words, "harness files; - is standard input");
    check->add_option("--format", words.format, "text (default), json or sarif (2.1.0)")
        ->type_name("FORMAT")
        ->check(one_of({"text", "json", "sarif"}));
    add_mode(*check, words);
    check->add_flag("--assumptions", words.options.assumptions, "list every assumed value and who uses it");
    check->add_flag("--unknowns", words.options.unknowns, "list every open value, and what hangs on each");
    check->add_flag("--brief", words.options.brief, "only whether it may be switched on, and where to start");
    check->add_option("--by", words.order, "order of the findings: step (of switching on; default) or line")
        ->type_name("ORDER")
        ->check(one_of({"step", "line"}));
    add_color(*check, words);
    check->footer(check_examples);
    check->callback([&words] { words.options.command = Command::check; });
}

void add_draw(CLI::App& app, Words& words) {
    CLI::App* draw = app.add_subcommand("draw", "Draw the harness as a sheet of one or more pages");
    draw->add_option("FILE", words.options.files, "harness file; - is standard input")
        ->type_name("")
        ->required()
        ->expected(1);
    draw->add_option("-o,--output", words.options.output, "where to: *.svg, *.png, *.pdf, or -")
        ->type_name("SHEET")
        ->required();
    add_mode(*draw, words, "of this mode only; what carries no current in it is drawn paler");
    draw->add_option("--paper", words.paper,
                     "a4, a3, letter, tabloid (default: a3; a4 where all goes on one page of it)")
        ->type_name("SIZE")
        ->check(one_of({"a4", "a3", "letter", "tabloid"}));
    draw->add_option("--theme", words.theme, "light (default) or dark")
        ->type_name("THEME")
        ->check(one_of({"light", "dark"}));
    CLI::Option* only =
        draw->add_option("--only", words.options.sheet.only,
                         "one part, wire, cable, bundle or location with what hangs together with it; "
                         "zone:F1 the wires that F1 guards")
            ->type_name("NAME");
    CLI::Option* path = draw->add_option("--path", words.path,
                                         "one way of the current alone, with the drop on every piece of it")
                            ->type_name("FROM TO")
                            ->expected(2)
                            ->excludes(only);
    draw->add_option("--current", words.options.sheet.path_A,
                     "of the path, A (default: the largest any of its wires carries)")
        ->type_name("AMPS")
        ->transform(CLI::Validator(
            [](std::string& typed) {  // with its unit or without: "80", "80A", "80 A"
                if (!typed.empty() && typed.back() == 'A') typed.pop_back();
                while (!typed.empty() && typed.back() == ' ') typed.pop_back();
                return std::string();
            },
            ""))
        ->check(CLI::Range(1e-6, 1e6).description(""))
        ->needs(path);
    draw->add_option("--show", words.show, "at each wire: loading (default), current, temperature or nothing")
        ->type_name("WHAT")
        ->check(one_of({"loading", "current", "temperature", "nothing"}));
    draw->add_option(
            "--for", words.reader,
            "workshop (default) or owner: no flags and gauges, but what switches off and which fuse is "
            "for what")
        ->type_name("READER")
        ->check(one_of({"workshop", "owner"}));
    draw->add_option("--dpi", words.options.dots_per_inch, "of a PNG, 30 to 1200 (default 150)")
        ->type_name("DOTS")
        ->check(CLI::Range(30.0, 1200.0).description(""));
    add_color(*draw, words);
    draw->footer(draw_examples);
    draw->callback([&words] { words.options.command = Command::draw; });
}

void add_zones(CLI::App& app, Words& words) {
    CLI::App* zones = app.add_subcommand("zones", "Tell which devices guard which wires");
    add_files(*zones, words, "harness files; - is standard input");
    add_output_format(*zones, words);
    add_color(*zones, words);
    zones->footer(zones_examples);
    zones->callback([&words] { words.options.command = Command::zones; });
}

void add_fault(CLI::App& app, Words& words) {
    CLI::App* fault = app.add_subcommand("fault", "Tell what happens when something shorts");
    fault->add_option("FILE", words.fault_file, "harness file; - is standard input")
        ->type_name("")
        ->required();
    fault->add_option("PLACE", words.options.place, "a wire, a terminal or a part")
        ->type_name("")
        ->required();
    fault->add_option("AGAINST", words.options.against, "the terminal it touches (default: its return)")
        ->type_name("");
    fault->add_option("--bridge", words.options.bridged, "take this device as bridged; may be repeated")
        ->type_name("DEVICE")
        ->expected(1)
        ->take_all();
    add_output_format(*fault, words);
    add_color(*fault, words);
    fault->footer(fault_examples);
    fault->callback([&words] { words.options.command = Command::fault; });
}

void add_budget(CLI::App& app, Words& words) {
    CLI::App* budget = app.add_subcommand(
        "budget", "Tell what draws how much in each mode, how long the packs last, and how long they stand");
    add_files(*budget, words, "harness files; - is standard input");
    add_output_format(*budget, words);
    add_mode(*budget, words, "tell of this mode only, and of everything at rest");
    add_color(*budget, words);
    budget->footer(budget_examples);
    budget->callback([&words] { words.options.command = Command::budget; });
}

void add_mend(CLI::App& app, Words& words) {
    CLI::App* mend = app.add_subcommand(
        "mend", "Find the smallest set of changes after which the harness passes, and what to buy for it");
    mend->add_option("FILE", words.options.files, "harness file; - is standard input")
        ->type_name("")
        ->required()
        ->expected(1);
    add_output_format(*mend, words);
    mend->add_flag("--all", words.options.all_changes, "tell of every change, not only of the first ten");
    mend->add_flag("--diff", words.options.diff, "the lines to change, and nothing else");
    mend->add_option("--write", words.options.mended_file,
                     "a new file for the changed text; the old one stays as it is")
        ->type_name("NEW.loom");
    add_color(*mend, words);
    mend->footer(mend_examples);
    mend->callback([&words] { words.options.command = Command::mend; });
}

void add_failures(CLI::App& app, Words& words) {
    CLI::App* failures =
        app.add_subcommand("failures", "Try every single failure: what then still runs, stops, holds, burns");
    failures->add_option("FILE", words.options.files, "harness file; - is standard input")
        ->type_name("")
        ->required()
        ->expected(1);
    add_output_format(*failures, words);
    add_mode(*failures, words, "tell of this mode only");
    failures->add_option("--of", words.options.of, "one part or wire: what its failures do in each mode")
        ->type_name("NAME");
    failures->add_flag("--all", words.options.all_changes, "every line, not only the first forty");
    add_color(*failures, words);
    failures->footer(failures_examples);
    failures->callback([&words] { words.options.command = Command::failures; });
}

void add_endurance(CLI::App& app, Words& words) {
    CLI::App* endurance = app.add_subcommand(
        "endurance", "Tell how long each part stands what the modes ask, and what gives out first");
    add_files(*endurance, words, "harness files; - is standard input");
    add_output_format(*endurance, words);
    add_mode(*endurance, words, "tell of this mode only");
    add_color(*endurance, words);
    endurance->footer(endurance_examples);
    endurance->callback([&words] { words.options.command = Command::endurance; });
}

void add_format(CLI::App& app, Words& words) {
    CLI::App* format = app.add_subcommand("format", "Lay the text of a harness out in its canonical form");
    add_files(*format, words, "harness files; - is standard input");
    CLI::Option* write = format->add_flag("--write", words.options.write, "replace the files");
    format->add_flag("--check", words.options.only_check, "write nothing, name the files that would change")
        ->excludes(write);
    add_color(*format, words);
    format->footer(format_examples);
    format->callback([&words] { words.options.command = Command::format; });
}

void add_explain(CLI::App& app, Words& words) {
    CLI::App* explain = app.add_subcommand(
        "explain", "Tell what a rule looks for, its formula and its source; or what a mistake means");
    explain
        ->add_option("RULE", words.options.rule,
                     "name of a rule, or of a mistake in a text; without it, the lists")
        ->type_name("");
    explain->add_flag("--watched", words.options.watched,
                      "which hazards are watched at which kinds of part, and which are not looked at");
    explain->add_flag(
        "--plausible", words.options.plausible,
        "what resistances, capacitances, draws, lengths usually are where nobody wrote them down");
    explain->add_flag("--manual", words.options.manual, "the manual page, for man");
    explain
        ->add_option("--completion", words.options.completion,
                     "a script that completes the line: bash, zsh, fish")
        ->type_name("SHELL")
        ->check(one_of({"bash", "zsh", "fish"}));
    add_color(*explain, words);
    explain->footer(explain_examples);
    explain->callback([&words] { words.options.command = Command::explain; });
}

Options with_values(const Words& words) {
    Options options = words.options;
    if (options.command == Command::fault) options.files = {words.fault_file};
    options.color = words.color == "always"  ? ColorChoice::always
                    : words.color == "never" ? ColorChoice::never
                                             : ColorChoice::automatic;
    options.json = words.format == "json";
    options.sarif = words.format == "sarif";
    options.allowance = words.allowance_percent / 100;
    options.by_line = words.order == "line";
    options.sheet.paper = words.paper == "a4"        ? Paper::a4
                          : words.paper == "letter"  ? Paper::letter
                          : words.paper == "tabloid" ? Paper::tabloid
                          : words.paper == "a3"      ? Paper::a3
                                                     : Paper::fitting;
    options.sheet.theme = words.theme == "dark" ? Theme::dark : Theme::light;
    options.sheet.loading = words.show == "loading";
    options.sheet.currents = words.show == "current";
    options.sheet.temperature = words.show == "temperature";
    options.sheet.reader = words.reader == "owner" ? Reader::owner : Reader::workshop;
    options.sheet.mode = options.mode;
    if (words.path.size() == 2) {
        options.sheet.path_from = words.path[0];
        options.sheet.path_to = words.path[1];
    }
    return options;
}

// What values cannot go together, in our words.
std::string wrong_together(const Options& options) {
    const auto from_standard_input = std::count(options.files.begin(), options.files.end(), "-");
    if (from_standard_input > 1) return "standard input (-) can be read only once";
    if (options.write && from_standard_input > 0)
        return "standard input cannot be replaced: leave out --write or -";
    if (options.command == Command::readings && options.measured.empty() == options.run_log.empty())
        return options.measured.empty()
                   ? "name a text with readings, or a log with --log"
                   : "readings and a log are compared one after the other: name one of them";
    if (options.command == Command::report && options.files.size() > 1) {
        if (!options.measured.empty()) return "readings belong to one harness: name one file";
        if (!options.logs.empty()) return "logs belong to one harness: name one file";
    }
    if (!options.log_modes.empty() && options.log_modes.size() != options.logs.size())
        return "each --log has a --mode of its own: name as many of one as of the other";
    return {};
}

CommandLine wrong(const std::string& trouble) {
    return {std::nullopt, {}, trouble, ExitCode::wrong};
}

std::string without_line_end(std::string text) {
    while (!text.empty() && text.back() == '\n') text.pop_back();
    return text;
}

// How many words belong to it.
int takes(const CLI::Option& option) {
    return option.get_expected_max() == 0 ? 0 : option.get_items_expected_max();
}

// Each command with its options as they are typed.
std::vector<KnownCommand> known_commands(const CLI::App& app) {
    std::vector<KnownCommand> commands;
    for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
        KnownCommand known{command->get_name(), {}};
        for (const CLI::Option* option : command->get_options()) {
            for (const std::string& name : option->get_lnames())
                known.options.push_back({"--" + name, takes(*option)});
            for (const std::string& name : option->get_snames())
                known.options.push_back({"-" + name, takes(*option)});
        }
        commands.push_back(std::move(known));
    }
    return commands;
}

CommandLine parse(CLI::App& app, Words& words, int argc, const char* const* argv) {
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& end) {
        std::ostringstream out, trouble;
        // Help and version come as exceptions too; the library's own numbers begin at 100.
        if (app.exit(end, out, trouble) == 0) return {std::nullopt, out.str(), {}, ExitCode::fine};
        return wrong(without_line_end(trouble.str()));
    }
    Options options = with_values(words);
    std::string trouble = wrong_together(options);
    if (trouble.empty() && options.command == Command::write_first)
        trouble = tell_first_harness(words.first, options.files.front(), options.first);
    if (!trouble.empty()) return wrong(trouble);
    return {std::move(options), {}, {}, ExitCode::fine};
}

}  // namespace

namespace {

void add_everything(CLI::App& app, Words& words) {
    app.set_version_flag("--version", "loomward " LOOMWARD_VERSION);
    app.require_subcommand(1);
    app.get_formatter()->column_width(28);
    app.footer(examples);
    add_check(app, words);
    add_draw(app, words);
    add_zones(app, words);
    add_fault(app, words);
    add_budget(app, words);
    add_endurance(app, words);
    add_mend(app, words);
    add_failures(app, words);
    add_new(app, words);
    add_report(app, words);
    add_schedules(app, words);
    add_bench_commands(app, words.options, words.format);
    add_format(app, words);
    add_explain(app, words);
}

constexpr const char* program_meaning =
    "Loomward checks and draws the wiring of battery-powered vehicles and machines.";

std::vector<std::string> words_of(const std::string& text) {
    std::istringstream all(text);
    std::vector<std::string> words;
    for (std::string word; all >> word;) words.push_back(word);
    return words;
}

OptionTable option_table(CLI::Option& option) {
    OptionTable table;
    table.positional = option.get_positional();
    table.required = option.get_required();
    table.meaning = option.get_description();
    if (table.positional) {
        table.names = {option.get_name(true)};
        return table;
    }
    for (const std::string& name : option.get_lnames()) table.names.push_back("--" + name);
    for (const std::string& name : option.get_snames()) table.names.push_back("-" + name);
    if (option.get_items_expected_max() > 0) {
        table.value = option.get_type_name();
        if (!table.value.empty() && option.get_expected_max() > 0) try {
                table.choices = words_of(option.get_validator(0)->get_name());
            } catch (const CLI::OptionNotFound&) {  // it has none
            }
    }
    return table;
}

}  // namespace

ProgramTable program_table() {
    CLI::App app(program_meaning, "loomward");
    Words words;
    add_everything(app, words);
    ProgramTable program{"loomward",
                         LOOMWARD_VERSION,
                         "check and draw the wiring of battery-powered vehicles and machines",
                         app.get_footer(),
                         {}};
    for (CLI::App* command : app.get_subcommands([](CLI::App*) { return true; })) {
        CommandTable table{command->get_name(), command->get_description(), {}, command->get_footer()};
        for (CLI::Option* option : command->get_options()) table.options.push_back(option_table(*option));
        program.commands.push_back(std::move(table));
    }
    return program;
}

CommandLine read_command_line(int argc, const char* const* argv) {
    CLI::App app(program_meaning, "loomward");
    Words words;
    add_everything(app, words);
    const std::vector<std::string> typed(argv + std::min(argc, 1), argv + argc);
    if (const std::string trouble = wrong_words(known_commands(app), typed); !trouble.empty())
        return wrong(trouble);
    return parse(app, words, argc, argv);
}

}  // namespace loomward::cli
