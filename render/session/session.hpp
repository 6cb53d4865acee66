// The one door for a caller in memory: a text is looked at once, then asked for whatever is told of it. The
// command line, a page and a test get the same bytes.
//
//     Session session("cart.loom", text, disk_reader());
//     std::cout << session.told(Told::findings, {});
//     if (session.results()) save("cart.svg", session.sheet_svg({}));
//
// What has to be worked out for one answer only (short circuits, the sheet of the first power-up) is worked
// out when it is first asked for, and kept. Not for two threads at a time. Nothing here reads or writes a
// file but through the FileReader that it was given, prints, or exits.
//
// Every answer but `told`, `document`, `mistakes` and the report wants `results()`: asked without, it throws
// std::logic_error.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "checker/bench/compare.hpp"
#include "checker/bench/hand_over.hpp"
#include "checker/bench/power_up.hpp"
#include "checker/bench/run_study.hpp"
#include "checker/bench/taken_readings.hpp"
#include "checker/failures/failures.hpp"
#include "checker/mend/mend.hpp"
#include "checker/papers/papers.hpp"
#include "checker/results.hpp"
#include "parser/text/diagnostic.hpp"
#include "parser/text/files.hpp"
#include "render/csv/schedules_csv.hpp"
#include "render/json/json.hpp"
#include "render/sheet.hpp"
#include "render/text/text.hpp"

namespace loomward {

// What is told of one harness as text, and of one or several as one document.
enum class Told : std::uint8_t { findings, zones, budget, endurance };

struct SessionOptions {
    std::string mode = {};        // look at this mode only; empty: at every one
    bool all_thresholds = false;  // as CheckOptions has it
};

// A short that somebody asks for by names.
struct FaultQuestion {
    std::string place;                      // a wire, a terminal or a part
    std::string against = {};               // the terminal it touches; empty: its return
    std::vector<std::string> bridged = {};  // fuses, breakers, protectors, BMS taken as bridged
};

// What a question by names came to.
struct SessionAnswer {
    std::string text;
    std::string trouble;  // what the harness does not have; then there is no text
    bool error = false;   // something in it is at error level
};

struct ReportQuestion {
    double allowance = 0;                        // added to each wire where it is cut, a share of its length
    bool tries = false;                          // changes are tried as well, which takes longer
    const ComparedReadings* readings = nullptr;  // what a meter showed; nullptr: nothing was measured
    std::vector<ComparedRun> runs = {};          // logs, each without mistakes and trouble
};

class Session {
  public:
    // Reads and checks `text` as if it stood in the file at `path`; `files` gives the files it uses. A mode
    // that it does not have is trouble.
    Session(std::string path, std::string text, std::shared_ptr<FileReader> files,
            const SessionOptions& options = {});
    // Of a file that could not be read, so that a document of several files can say so.
    static Session without_text(std::string path, const std::string& trouble, const std::string& help);
    ~Session();
    Session(Session&&) noexcept;
    Session& operator=(Session&&) noexcept;

    // Exactly one of three: trouble (no such file, no such mode), mistakes in the text, or results.
    const std::string& path() const;
    const std::string& trouble() const;
    const std::vector<Diagnostic>& mistakes() const;  // the trouble too, for machines
    const Sources& sources() const;
    const std::string& text() const;  // as it was given
    const Results* results() const;   // nullptr: there are none. They stay where they are
    bool errors() const;              // results at error level that nobody has accepted
    Outcome outcome() const;

    // As text, with the verdict as its last line; of a text with mistakes those, and that nothing was
    // checked; empty where there is trouble. `mistakes_text`: the mistakes alone.
    std::string told(Told what, const ReportOptions& options) const;
    std::string verdict(bool color) const;
    std::string mistakes_told(bool color) const;
    // The same of several sessions as one JSON document (docs/check.schema.json, docs/zones.schema.json,
    // ...).
    static std::string document(Told what, const std::vector<const Session*>& sessions);
    static std::string sarif(const std::vector<const Session*>& sessions);

    // What the options name and the harness does not have, as a sentence; empty: nothing is wrong. A session
    // of one mode is laid out as one of every mode is.
    std::string sheet_trouble(const SheetOptions& options) const;
    std::vector<std::string> sheet_pages(const SheetOptions& options, const PageFile& file_of) const;
    std::string sheet_svg(const SheetOptions& options) const;
    std::string sheet_pdf(const SheetOptions& options) const;
    std::string circuit_dot() const;

    // A short circuit; text, or JSON (docs/fault.schema.json).
    SessionAnswer fault(const FaultQuestion& question, bool json, bool color) const;
    // Every single failure, in every mode or in one; nullopt: `trouble` says that there is no such mode.
    std::optional<FailureReport> failures(const std::string& only_mode, std::string& trouble) const;
    // One mode as a deck for a general circuit simulator, at its first level.
    SessionAnswer spice(const std::string& mode, bool full_corner) const;
    // The first moment of a short circuit as such a deck: where most flows, or where least does.
    SessionAnswer fault_spice(const FaultQuestion& question, bool most) const;
    // The smallest set of changes after which it passes.
    const Mended& mended() const;

    // The papers. `power_up_page`, `hand_over_page`, `report_page` are HTML; `report_json` is
    // docs/report.schema.json. The reports of a text with mistakes say those.
    Papers papers(double allowance) const;
    std::string report_page(const ReportQuestion& question) const;
    std::string report_json(const ReportQuestion& question) const;
    std::vector<CsvFile> schedules(double allowance) const;
    const PowerUpSheet& power_up() const;
    std::string power_up_page() const;
    std::string blank_readings() const;
    const HandOver& hand_over() const;
    std::string hand_over_page() const;  // not where it is refused
    // What a meter showed, in the language's own style; `path` is what messages call it.
    ComparedReadings readings(const std::string& path, std::string text) const;
    // The log of a run against the mode it was in; empty: the only one there is.
    ComparedRun run_log(const std::string& path, std::string text, const std::string& mode) const;
    // What changed since an older revision.
    Comparison compared_with(const Session& older) const;

    // Of the program, as the papers print it: "0.1.0".
    static std::string version();

  private:
    struct Look;
    explicit Session(std::unique_ptr<Look> look);
    const Results& checked() const;
    const FaultStudy& study() const;
    SheetOptions laid_out(const SheetOptions& options) const;
    std::string sha256() const;

    std::unique_ptr<Look> look_;
};

}  // namespace loomward
