// The sections of a report.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "render/html/html_page.hpp"
#include "render/html/html_parts.hpp"
#include "render/papers/report.hpp"

namespace loomward {

struct ReportScope {
    const ReportPaper& paper;
    const Results& results;
    const Papers& papers;
    const Harness& harness;
    HtmlNames names;
};

// Every wire and part, and the names of the other halves of connectors.
HtmlNames report_names(const Harness& harness);
std::string wire_anchor(std::string_view name);
std::string part_anchor(std::string_view name);
std::string cause_anchor(std::size_t cause);  // counts from 0

HtmlSection first_section(const ReportScope& scope);
HtmlSection cautions_section(const ReportScope& scope);
HtmlSection sheet_section(const ReportScope& scope);
HtmlSection findings_section(const ReportScope& scope);
HtmlSection readings_section(const ReportScope& scope);  // where something was measured
HtmlSection runs_section(const ReportScope& scope);      // where a run was logged
HtmlSection modes_section(const ReportScope& scope);
HtmlSection guards_section(const ReportScope& scope);
HtmlSection curves_section(const ReportScope& scope);
HtmlSection shorts_section(const ReportScope& scope);
HtmlSection wires_section(const ReportScope& scope);
HtmlSection connectors_section(const ReportScope& scope);
HtmlSection parts_section(const ReportScope& scope);
HtmlSection unknown_section(const ReportScope& scope);
HtmlSection accepted_section(const ReportScope& scope);
HtmlSection sources_section(const ReportScope& scope);

// Flags of findings, at most so many, with the count of the rest.
Html flags_html(const ReportScope& scope, const std::vector<std::size_t>& findings, std::size_t most = 12);
// A bar as long as the share, red beyond 1.
Html meter_html(double share);
// "46 %": a share in words and the whole figure behind it.
Html percent_html(double share);

std::string report_style();
std::string report_script();

}  // namespace loomward
