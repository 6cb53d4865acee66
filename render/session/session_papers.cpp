// The drawing and the papers.
#include "checker/bench/compare.hpp"
#include "render/bench/hand_over_html.hpp"
#include "render/bench/power_up_html.hpp"
#include "render/bench/readings_text.hpp"
#include "render/bench/run_text.hpp"
#include "render/dot/circuit_dot.hpp"
#include "render/json/json_papers.hpp"
#include "render/papers/report.hpp"
#include "render/session/session_look.hpp"
#include "render/session/try_mending.hpp"

namespace loomward {

// Where everything stands does not depend on the mode.
SheetOptions Session::laid_out(const SheetOptions& options) const {
    SheetOptions laid = options;
    laid.mode = look_->mode;
    if (look_->mode.empty()) return laid;
    if (!look_->every_mode) look_->every_mode = check(look_->written);
    laid.laid_out_for = &*look_->every_mode;
    return laid;
}

std::string Session::sheet_trouble(const SheetOptions& options) const {
    return loomward::sheet_trouble(checked(), options);
}

std::vector<std::string> Session::sheet_pages(const SheetOptions& options, const PageFile& file_of) const {
    return loomward::sheet_pages(checked(), laid_out(options), file_of);
}

std::string Session::sheet_svg(const SheetOptions& options) const {
    return loomward::sheet_svg(checked(), laid_out(options));
}

std::string Session::sheet_pdf(const SheetOptions& options) const {
    return loomward::sheet_pdf(checked(), laid_out(options));
}

std::string Session::circuit_dot() const {
    return loomward::circuit_dot(checked());
}

const Mended& Session::mended() const {
    if (!look_->mended) look_->mended = try_mending(path(), text(), checked(), *look_->files);
    return *look_->mended;
}

Papers Session::papers(double allowance) const {
    return papers_of(checked(), short_facts(checked(), study()), allowance);
}

std::string Session::report_page(const ReportQuestion& question) const {
    if (!results()) return mistakes_report_html(path(), version(), mistakes(), sources());
    const Papers shown = papers(question.allowance);
    const bool tries =
        question.tries && checked().count(Severity::error) + checked().count(Severity::warning) > 0;
    return report_html({path(), version(), &checked(), &shown, tries ? &mended() : nullptr, question.readings,
                        question.readings ? &power_up() : nullptr, &question.runs});
}

std::string Session::report_json(const ReportQuestion& question) const {
    if (!results()) return papers_json(outcome(), nullptr, version());
    const Papers shown = papers(question.allowance);
    std::vector<std::string> runs;
    for (const ComparedRun& run : question.runs) runs.push_back(run_json(run, path()));
    return papers_json(outcome(), &shown, version(),
                       question.readings
                           ? readings_json(question.readings->report, power_up(), path(),
                                           question.readings->path, question.readings->text.blanks)
                           : std::string(),
                       runs);
}

std::vector<CsvFile> Session::schedules(double allowance) const {
    return schedules_csv(schedules_of(checked(), allowance, short_facts(checked(), study()).short_here_A),
                         *checked().harness);
}

const PowerUpSheet& Session::power_up() const {
    if (!look_->power_up) look_->power_up = power_up_sheet(checked());
    return *look_->power_up;
}

std::string Session::power_up_page() const {
    return power_up_html(power_up(), checked(), path(), version(), sha256());
}

std::string Session::blank_readings() const {
    return blank_readings_text(power_up(), checked());
}

const HandOver& Session::hand_over() const {
    if (!look_->hand_over) look_->hand_over = loomward::hand_over(checked());
    return *look_->hand_over;
}

std::string Session::hand_over_page() const {
    return hand_over_html(hand_over(), checked(), path(), version(), sha256());
}

ComparedReadings Session::readings(const std::string& measured_path, std::string measured) const {
    return compare_with_sheet(checked(), power_up(), measured_path,
                              read_measured(measured_path, std::move(measured)));
}

ComparedRun Session::run_log(const std::string& log_path, std::string log, const std::string& mode) const {
    return compare_with_mode(checked(), log_path, read_run_log(log_path, std::move(log)), mode);
}

Comparison Session::compared_with(const Session& older) const {
    return compare(older.checked(), checked());
}

}  // namespace loomward
