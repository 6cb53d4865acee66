#include "cli/option_examples.hpp"
#include "cli/option_words.hpp"

namespace loomward::cli {
namespace {

void add_allowance(CLI::App& command, Words& words) {
    command
        .add_option("--allowance", words.allowance_percent,
                    "added to each wire where it is cut, % (default 0)")
        ->type_name("PERCENT")
        ->check(CLI::Range(0.0, 100.0).description(""));
}

}  // namespace

void add_report(CLI::App& app, Words& words) {
    CLI::App* report = app.add_subcommand("report", "Write all that is known of a harness as one HTML file");
    add_files(*report, words, "harness files; - is standard input");
    report
        ->add_option("-o,--output", words.options.output,
                     "the file to write (of several harnesses: a folder); - is standard output")
        ->type_name("REPORT.html")
        ->required();
    report->add_flag("--mend", words.options.tries, "try what to change as well, which takes longer");
    report
        ->add_option("--format", words.format, "html (default) or json, the same figures for another program")
        ->type_name("FORMAT")
        ->check(one_of({"html", "json"}));
    report
        ->add_option("--readings", words.options.measured,
                     "a text with what the meter showed, as power-up --readings begins it")
        ->type_name("MEASURED");
    CLI::Option* logs = report
                            ->add_option("--log", words.options.logs,
                                         "the log of a run: CSV with a head for each column; several")
                            ->type_name("RUN.csv")
                            ->expected(1)
                            ->take_all();
    report->add_option("--mode", words.options.log_modes, "the mode the machine was in, one for each --log")
        ->type_name("NAME")
        ->expected(1)
        ->take_all()
        ->needs(logs);
    add_allowance(*report, words);
    add_color(*report, words);
    report->footer(report_examples);
    report->callback([&words] { words.options.command = Command::report; });
}

void add_schedules(CLI::App& app, Words& words) {
    CLI::App* schedules = app.add_subcommand(
        "schedules", "Write the lists to build by, as CSV: wires, fuses, contacts, labels");
    schedules->add_option("FILE", words.options.files, "harness file; - is standard input")
        ->type_name("")
        ->required()
        ->expected(1);
    schedules
        ->add_option("-o,--output", words.options.output, "the folder to write into; it is made if need be")
        ->type_name("FOLDER")
        ->required();
    add_allowance(*schedules, words);
    add_color(*schedules, words);
    schedules->footer(schedules_examples);
    schedules->callback([&words] { words.options.command = Command::schedules; });
}

}  // namespace loomward::cli
