// The order and position of vertical pieces in one channel.
#include <algorithm>
#include <numeric>
#include <queue>

#include "render/sheet/layout/sheet_route.hpp"

namespace loomward::sheet {
namespace {

constexpr double edge = 0.9;                 // between the channel's edges and the first tint
constexpr std::size_t worth_ordering = 250;  // beyond that the search costs more than it gives

struct Reach {
    double top, bottom;
    bool holds(double y) const { return top - 0.01 < y && y < bottom + 0.01; }
};
Reach reach(const Piece& piece) {
    return {std::min(piece.left_y, piece.right_y), std::max(piece.left_y, piece.right_y)};
}

// Nearer to each other two ways at nearly one height would lie on each other.
double apart(const Piece& a, const Piece& b) {
    return std::max(1.2, (a.halo + b.halo) / 2 - halo_width(0, false) + wire_width(0));
}

// What it costs if `a` stands left of `b`: b's way to its left end crosses a, a's way to its right end
// crosses b; and two such ways at one height would lie on each other.
int cost(const Piece& a, const Piece& b) {
    if (a.part_of >= 0 && a.part_of == b.part_of) return a.right_y == b.left_y ? 0 : 1000;
    int sum = reach(a).holds(b.left_y) + reach(b).holds(a.right_y);
    if (std::abs(b.left_y - a.right_y) < apart(a, b)) sum += 50;
    return sum;
}

// Insertion in order of steepness, then single moves until nothing improves.
std::vector<std::size_t> order_of(const std::vector<Piece>& pieces) {
    const std::size_t n = pieces.size();
    std::vector<std::size_t> start(n), best;
    std::iota(start.begin(), start.end(), std::size_t{0});
    const auto key = [&](std::size_t i) {
        const Piece& piece = pieces[i];
        return (piece.left_y + piece.right_y) * (piece.right_y < piece.left_y ? 1 : -1);
    };
    std::stable_sort(start.begin(), start.end(),
                     [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
    // The cheapest place for a piece among `best`: `running` is its cost at place k.
    const auto cheapest = [&](std::size_t piece) {
        int running = 0;
        for (const std::size_t each : best) running += cost(pieces[piece], pieces[each]);
        std::pair<int, std::size_t> found{running, 0};
        for (std::size_t k = 0; k < best.size(); ++k) {
            running += cost(pieces[best[k]], pieces[piece]) - cost(pieces[piece], pieces[best[k]]);
            if (running < found.first) found = {running, k + 1};
        }
        return found;
    };
    for (const std::size_t piece : start)
        best.insert(best.begin() + static_cast<long>(cheapest(piece).second), piece);
    for (int round = 0; round < 8; ++round) {
        bool changed = false;
        for (std::size_t place = 0; place < n; ++place) {
            const std::size_t piece = best[place];
            best.erase(best.begin() + static_cast<long>(place));
            int now = 0;
            for (std::size_t k = 0; k < best.size(); ++k)
                now +=
                    k < place ? cost(pieces[best[k]], pieces[piece]) : cost(pieces[piece], pieces[best[k]]);
            const auto [lower, where] = cheapest(piece);
            changed = changed || lower < now;
            best.insert(best.begin() + static_cast<long>(lower < now ? where : place), piece);
        }
        if (!changed) break;
    }
    return best;
}

// A crowded channel: tracks of one width, each used again below where its last piece ends.
Channel pack_crowded(const std::vector<Piece>& pieces) {
    double halo = 0;
    for (const Piece& piece : pieces) halo = std::max(halo, piece.halo);
    std::vector<std::size_t> order(pieces.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return reach(pieces[a]).top < reach(pieces[b]).top;
    });
    using Track = std::pair<double, std::size_t>;  // where it is free again, its number
    std::priority_queue<Track, std::vector<Track>, std::greater<>> tracks;
    Channel channel;
    channel.x.assign(pieces.size(), 0);
    std::size_t count = 0;
    for (const std::size_t i : order) {
        std::size_t track = count;
        if (!tracks.empty() && tracks.top().first < reach(pieces[i]).top) {
            track = tracks.top().second;
            tracks.pop();
        } else {
            ++count;
        }
        tracks.emplace(reach(pieces[i]).bottom + 2, track);
        channel.x[i] = edge + halo / 2 + static_cast<double>(track) * (halo + 0.2);
    }
    channel.width = 2 * edge + static_cast<double>(count) * (halo + 0.2);
    return channel;
}

bool change_places(const Piece& a, const Piece& b) {
    return std::abs(a.left_y - b.right_y) < 1.2 && std::abs(a.right_y - b.left_y) < 1.2 &&
           std::abs(a.left_y - a.right_y) > 3;
}

// A height between the ends of a piece at which no other one begins or ends, near the middle.
double free_height(const std::vector<Piece>& pieces, const Piece& piece) {
    const Reach mine = reach(piece);
    const double middle = (mine.top + mine.bottom) / 2;
    double best = middle, most = -1e9;
    for (int step = 0; step <= 24; ++step) {
        const double y = middle + (step % 2 ? 1 : -1) * 0.5 * ((step + 1) / 2);
        if (y < mine.top + 1.4 || y > mine.bottom - 1.4) continue;
        double clear = 0.2;  // between the tints
        for (const Piece& other : pieces)
            clear = std::min(clear, std::min(std::abs(other.left_y - y), std::abs(other.right_y - y)) -
                                        (piece.halo + other.halo) / 2);
        if (clear > most + 1e-9) most = clear, best = y;
    }
    return best;
}

// The pieces, those that have to step aside in two parts; the second parts stand behind all others.
std::vector<Piece> parted(const std::vector<Piece>& pieces) {
    std::vector<Piece> out = pieces;
    std::vector<bool> split(pieces.size());
    for (std::size_t i = 0; i < pieces.size(); ++i)
        for (std::size_t j = 0; j < i && !split[i]; ++j) {
            if (split[j] || !change_places(pieces[i], pieces[j])) continue;
            split[i] = true;
            Piece second = pieces[i];
            second.left_y = out[i].right_y = free_height(out, pieces[i]);
            second.part_of = out[i].part_of = static_cast<int>(i);
            out.push_back(second);
        }
    return out;
}

}  // namespace

Channel pack_channel(const std::vector<Piece>& whole) {
    Channel channel;
    channel.jog_x.assign(whole.size(), -1);
    channel.jog_y.assign(whole.size(), 0);
    if (whole.empty()) {
        channel.width = 2.0;
        return channel;
    }
    if (whole.size() > worth_ordering) {
        Channel crowded = pack_crowded(whole);
        channel.width = crowded.width;
        channel.x = std::move(crowded.x);
        return channel;
    }
    const std::vector<Piece> pieces = parted(whole);
    std::vector<double> xs(pieces.size(), 0);
    std::vector<std::size_t> done;
    for (const std::size_t i : order_of(pieces)) {
        double x = edge + pieces[i].halo / 2;
        const Reach mine = reach(pieces[i]);
        for (const std::size_t j : done) {
            const Reach its = reach(pieces[j]);
            if (mine.top - 2 < its.bottom && its.top - 2 < mine.bottom)
                x = std::max(x, xs[j] + (pieces[i].halo + pieces[j].halo) / 2 + 0.2);
        }
        xs[i] = x;
        channel.width = std::max(channel.width, x + pieces[i].halo / 2 + edge);
        done.push_back(i);
    }
    for (std::size_t i = whole.size(); i < pieces.size(); ++i) {
        const auto first = static_cast<std::size_t>(pieces[i].part_of);
        channel.jog_x[first] = xs[i];
        channel.jog_y[first] = pieces[i].left_y;
    }
    xs.resize(whole.size());
    channel.x = std::move(xs);
    return channel;
}

}  // namespace loomward::sheet
