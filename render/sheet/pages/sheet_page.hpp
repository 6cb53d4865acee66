// The strips of a model on pages: one scale for all of them, references from page to page.
#pragma once
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "render/sheet/layout/sheet_place.hpp"

namespace loomward::sheet {

struct PaperSize {
    double width = 0, height = 0;  // mm, landscape
};
PaperSize size_of(Paper paper);
std::string name_of(Paper paper);  // "A3"

struct PlacedStrip {
    int strip = -1;  // -1: the parts no wire leads to
    Layout layout;
    int page = 0;
    double x = 0, y = 0;           // of its top left, mm on paper
    double width = 0, height = 0;  // before scaling
    std::string caption;
};

struct Spot {
    int page = 0;
    double x = 0, y = 0;  // mm on paper
};

struct SheetPlan {
    std::shared_ptr<const SheetModel> model;  // as drawn: what is too large for a page is cut
    PaperSize paper;
    std::string paper_name;
    Box frame, field;  // the frame, and what is left for strips
    double scale = 1;  // of all strips
    int columns = 8, rows = 6;
    int pages = 1;
    std::vector<PlacedStrip> strips;
    // The first node of each element and the label of each line: strip and node. Made by put_on_paper.
    std::map<int, std::pair<std::size_t, std::size_t>> node_of_element, label_of_line;
    std::map<int, std::pair<std::size_t, std::size_t>> run_of_line;  // strip and run

    // "B3"; with the page where there is more than one: "2/B3" (sheet and square parted by a stroke, as
    // IEC 61082-1 has it).
    std::string square(const Spot& spot) const;
    // Where an element or the label of a line came to stand; empty where it did not.
    std::optional<Spot> spot_of_element(int element) const;
    std::optional<Spot> spot_of_line(int line) const;
    std::string square_of_element(int element) const;
    // Of the terminal at which a line that was cut ends beyond the cut.
    std::optional<Spot> spot_of_far_end(const Element& pennant) const;
    std::string square_of_line(int line) const;
};

// Cuts what does not fit a page, and deals the strips out to as few pages as a scale between 0.91 and 1
// allows; below that only where something cannot be cut.
SheetPlan compose(SheetModel model, const SheetOptions& options);
// The same drawing with what one mode shows: `laid`, whose lines may be cut, holds where everything stands.
SheetModel painted(const SheetModel& laid, const SheetModel& mode);
// The whole plan of a sheet; of one mode it is laid out for all of them where the options say so.
SheetPlan plan_sheet(const Results& results, const SheetOptions& options);

// ---- the steps of it ---------------------------------------------------------------------------------

// Room for a strip with its caption, before scaling.
struct Room {
    double width = 0, height = 0;
    template <typename Sized>
    bool holds(const Sized& strip) const {
        return strip.width <= width + 0.01 && strip.height <= height + 0.01;
    }
};

// Cuts the strips of a model until each one fits the room or cannot be cut any further; gives them laid out
// roughly. Lines that were cut are weighed.
struct CutStrips {
    std::shared_ptr<SheetModel> model;
    std::vector<PlacedStrip> strips;
    int cut_weight = 0;  // of the lines that were cut, see weight_of_cut
};
// What a rough layout shows of a strip.
struct RoughFigures {
    double width = 0, height = 0;
    int crossings = 0;
    int on_top = 0;  // pieces of lines on one another
};
// Rough layouts that were made already, by all that they depend on: other cuts and other scales ask for the
// same again. The figures do not depend on the numbers of what was cut, so more cuts share them.
struct RoughLayouts {
    std::map<std::vector<int>, PlacedStrip> layouts;
    std::map<std::vector<int>, RoughFigures> figures;
};
RoughFigures measured_roughly(const SheetModel& model, const Strip& strip, RoughLayouts& known);
CutStrips cut_to_fit(const SheetModel& model, const Room& room, RoughLayouts& known);
// One strip laid out.
PlacedStrip lay_strip(const SheetModel& model, std::size_t strip, const PlaceOptions& options);
constexpr PlaceOptions roughly = {node_gap, false, false, false};

// Two or more parts a strip can be cut into, by element of the model (-1 outside the strip); empty: no cut.
using Bands = std::vector<int>;
// Columns left and right of a cut where few lines pass.
Bands bands_by_columns(const SheetModel& model, const Strip& strip, const Layout& layout, int count);
// What stands high and what stands low.
Bands bands_by_rows(const SheetModel& model, const Strip& strip, const Layout& layout, int count);
// One location or assembly with all its parts, and the rest.
std::vector<Bands> bands_by_bays(const SheetModel& model, const Strip& strip);
// What the main current passes, and what hangs on it by thin lines.
std::vector<Bands> bands_by_area(const SheetModel& model, const Strip& strip);
// A pennant goes with what its line leads to, a fuse with its bar. Then bands are numbered from 0 without
// gaps; empty where there is only one left.
Bands finished_bands(const SheetModel& model, const Strip& strip, Bands bands);
// A strip too large to be laid out whole: what hangs together most, in pieces of about a page.
Bands bands_by_closeness(const SheetModel& model, const Strip& strip, const Room& room);
// From here on a reader follows a wire as the main current. No source.
constexpr double heavy_mm2 = 10;
// What it costs the reader where a line is cut: its mm2, and more where it is followed as the main current; a
// joint most.
int weight_of_cut(const Line& line);
// What the cut costs the reader.
int weight_of_bands(const SheetModel& model, const Strip& strip, const Bands& bands);

// Strips side by side on shelves, shelves on pages; first fit.
struct Shelf {
    double width = 0, height = 0;
    std::vector<std::size_t> strips;
};
struct ShelfPage {
    double height = 0;
    std::vector<Shelf> shelves;
};
constexpr double caption_height = 5, shelf_gap = 7, side_gap = 14;
std::vector<ShelfPage> shelves_for(const std::vector<PlacedStrip>& strips, double width, double height);
// Sets page and place of every strip.
void put_on_paper(SheetPlan& plan, const std::vector<ShelfPage>& pages);

}  // namespace loomward::sheet
