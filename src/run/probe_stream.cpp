#include "run/probe_stream.h"

#include <algorithm>
#include <limits>

namespace coldbag {

namespace {

double credit_ends_at_s(const RunInput& input) {
  double ends_s = std::numeric_limits<double>::infinity();
  for (const RunMoment& moment : input.events)
    if (moment.event.what == EventKind::door_opened || moment.event.what == EventKind::opened ||
        moment.event.what == EventKind::unloaded)
      ends_s = std::min(ends_s, moment.at_s);
  return ends_s;
}

} // namespace

ProbeStream::ProbeStream(const RunInput& input, std::size_t index) : limits_(input.check_limits) {
  const RunProbe& probe = input.probes[index];
  is_pressure_ = probe.is_pressure;
  column_ = static_cast<std::size_t>(probe.value);
  starts_s_ = input.logs[static_cast<std::size_t>(probe.log)].starts_s;
  from_s_ = input.from_s.value_or(-std::numeric_limits<double>::infinity());
  checked_from_s_ = std::min(from_s_, input.checked_from_s.value_or(from_s_));
  to_s_ = input.to_s.value_or(std::numeric_limits<double>::infinity());
  correction_ = probe.correction;
  if (!limits_ || is_pressure_) return;
  rule_ = {probe.role, credit_ends_at_s(input), *limits_};
  checks_.emplace(rule_);
  for (std::size_t i = 0; i < input.probes.size(); ++i) {
    const RunProbe& other = input.probes[i];
    if (i == index || other.log != probe.log || other.is_pressure || other.left_out) continue;
    const auto column = static_cast<std::size_t>(other.value);
    company_.push_back({column, other.role, other.correction});
    if (i < index) pairs_.push_back({i, column, {}});
  }
}

void ProbeStream::take(const RowBlock& block, const std::vector<ProbeMeter*>& meters) {
  const auto& has = block.has[column_];
  const auto& value = block.value[column_];
  for (std::size_t row = 0; row < block.time_s.size(); ++row) {
    const double time_s = starts_s_ + block.time_s[row];
    if (breaks_before(block, row)) begin_anew(meters);
    if (time_s < checked_from_s_ || time_s > to_s_) continue;
    if (has[row] == 0) {
      if (time_s >= from_s_)
        for (ProbeMeter* meter : meters)
          meter->take_silence(time_s);
      if (checks_) checks_->silent(time_s, Company(block, row, company_));
      continue;
    }
    if (time_s >= from_s_) top_raw_ = std::max(top_raw_.value_or(value[row]), value[row]);
    const double read = is_pressure_ ? value[row] : corrected_degC(correction_, value[row]);
    if (checks_)
      checks_->take(time_s, read, Company(block, row, company_), settled_);
    else
      settled_.push_back({time_s, read, CheckedReading::Kind::credited});
  }
  hand_on(meters);
  compare(block);
}

// The log's clock jumped: nothing that stands before has to do with what follows.
void ProbeStream::begin_anew(const std::vector<ProbeMeter*>& meters) {
  if (checks_) {
    checks_->finish(settled_);
    faults_before_ = faults();
    checks_.emplace(rule_);
  }
  hand_on(meters);
  for (ProbeMeter* meter : meters)
    meter->break_here();
}

void ProbeStream::hand_on(const std::vector<ProbeMeter*>& meters) {
  if (limits_)
    for (const CheckedReading& reading : settled_)
      if (reading.kind != CheckedReading::Kind::silent)
        thin_.take(reading.time_s, reading.degC, reading.kind == CheckedReading::Kind::credited);
  for (ProbeMeter* meter : meters)
    for (const CheckedReading& reading : settled_) {
      if (reading.time_s < from_s_) continue;
      if (reading.kind == CheckedReading::Kind::credited)
        meter->take(reading.time_s, reading.degC);
      else if (reading.kind == CheckedReading::Kind::withheld)
        meter->withhold(reading.time_s, reading.degC);
      else
        meter->withhold(reading.time_s, std::nullopt);
    }
  settled_.clear();
}

// Two rows that differ leave no room between them for a run as long as the limit: what lies there is skipped.
void ProbeStream::compare(const RowBlock& block) {
  const auto& has = block.has[column_];
  const auto& value = block.value[column_];
  const std::size_t rows = block.time_s.size();
  for (Pair& pair : pairs_) {
    const auto& other_has = block.has[pair.column];
    const auto& other = block.value[pair.column];
    const auto stride = static_cast<std::size_t>(std::clamp(limits_->copied_readings, 1.0, 16.0));
    const auto differs = [&](std::size_t row) {
      return (has[row] & other_has[row]) != 0 && value[row] != other[row];
    };
    for (std::size_t row = 0; row < rows;) {
      if (differs(row)) {
        pair.watch.apart();
        row += row + stride < rows && differs(row + stride) ? stride : 1;
        continue;
      }
      const double time_s = starts_s_ + block.time_s[row];
      if ((has[row] & other_has[row]) != 0) {
        if (time_s >= checked_from_s_ && time_s <= to_s_)
          pair.watch.take(time_s, value[row], other[row], *limits_);
      } else if (has[row] != other_has[row]) {
        pair.watch.apart();
      }
      ++row;
    }
  }
}

void ProbeStream::finish(const std::vector<ProbeMeter*>& meters) {
  if (!checks_) return;
  checks_->finish(settled_);
  hand_on(meters);
}

std::vector<Fault> ProbeStream::faults() const {
  std::vector<Fault> all = faults_before_;
  if (checks_) all.insert(all.end(), checks_->faults().begin(), checks_->faults().end());
  return all;
}

const ProbeStream::Pair* ProbeStream::most_alike() const {
  const Pair* most = nullptr;
  for (const Pair& pair : pairs_)
    if (pair.watch.seen() && (most == nullptr || pair.watch.seen()->readings > most->watch.seen()->readings))
      most = &pair;
  return most;
}

std::optional<std::size_t> ProbeStream::copy_of() const {
  const Pair* pair = most_alike();
  return pair == nullptr ? std::nullopt : std::optional(pair->probe);
}

std::optional<CopyWatch::Seen> ProbeStream::copied() const {
  const Pair* pair = most_alike();
  return pair == nullptr ? std::nullopt : pair->watch.seen();
}

} // namespace coldbag
