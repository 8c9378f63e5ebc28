//! Pages: systems of one width under each other, title and names over them, a footer under them.

use linewright_notation::Score;

use crate::breaking;
use crate::clean::one_line;
use crate::context::Context;
use crate::geometry::Bounds;
use crate::mark::{Kind, Mark};
use crate::options::{Options, SvgFont, Theme};
use crate::plan::Plan;
use crate::system::{self, System};
use crate::typeset::Run;

const TITLE: i64 = 900;
/// From the title to the first system.
const UNDER_TITLE: i64 = 750;
/// The names of composer and student.
const CREDIT: i64 = 420;
/// From the title to the names, and from them to the first system.
const AROUND_CREDITS: i64 = 450;
/// Between the names, at least.
const BETWEEN_CREDITS: i64 = 600;
const FOOTER: i64 = 280;
/// From the last system to the footer's line.
const OVER_FOOTER: i64 = 500;
/// Between systems: the least, the usual, and the most.
const GAPS: [i64; 3] = [420, 800, 1500];

/// How many systems are too few for the last of several pages.
const FEW: usize = 2;
/// The sizes, in thousandths, at which fewer pages are tried.
const SMALLER: [i64; 3] = [960, 920, 880];

/// A page.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    pub(crate) marks: Vec<Mark>,
    /// How many systems it has.
    systems: usize,
    /// Width and height in units.
    pub(crate) size: (i64, i64),
    /// Width and height in thousandths of a millimetre.
    pub(crate) paper: (i64, i64),
    pub(crate) theme: Theme,
    pub(crate) id_prefix: String,
    pub(crate) svg_font: SvgFont,
    pub(crate) label: String,
}

impl Page {
    /// All that stands on the page.
    pub fn marks(&self) -> &[Mark] {
        &self.marks
    }

    /// The page as a box.
    pub fn bounds(&self) -> Bounds {
        Bounds::new(0, 0, self.size.0, self.size.1)
    }

    /// The width and height on paper in thousandths of a millimetre.
    pub fn paper_size(&self) -> (i64, i64) {
        self.paper
    }
}

/// Engraves a score: one page or more. A score without measures gives a page with its title.
pub fn pages(score: &Score, options: &Options) -> Vec<Page> {
    let context = Context::new(score, options);
    let staff = i64::from(options.staff_height.clamp(1_000, 30_000));
    let found = fitting(&context, staff);
    let count = found.len();
    let few = found.last().is_some_and(|page| page.systems <= FEW);
    if count < 2 || !few {
        return found;
    }
    // Two systems on a page of their own: rather all a little smaller on fewer pages.
    let smaller = SMALLER.iter().find_map(|thousandths| {
        let found = fitting(&context, staff * thousandths / 1000);
        (found.len() < count).then_some(found)
    });
    smaller.unwrap_or(found)
}

/// The pages with a staff of a height, or smaller if something does not fit a page.
fn fitting(context: &Context, staff: i64) -> Vec<Page> {
    let mut staff = staff;
    // A few rounds are enough, since less height never needs more.
    for _ in 0..8 {
        let sheet = Sheet::new(context, staff);
        let (systems, too_large) = sheet.systems(context);
        match too_large {
            Some((have, need)) if staff > 1 => {
                staff = (staff * have.max(1) / need.max(1)).clamp(1, staff - 1);
            }
            _ => return sheet.pages(context, systems),
        }
    }
    let sheet = Sheet::new(context, staff);
    let (systems, _) = sheet.systems(context);
    sheet.pages(context, systems)
}

/// A page's measures in units of a staff height.
struct Sheet {
    staff: i64,
    width: i64,
    /// `None` when it follows the music.
    height: Option<i64>,
    margin: i64,
    /// What stands over the music of the first page.
    head: Vec<Mark>,
    /// Where the first system of the first page begins.
    under_head: i64,
}

impl Sheet {
    fn new(context: &Context, staff: i64) -> Sheet {
        let paper = context.options.paper;
        let units = |thousandths: i64| thousandths * 1000 / staff;
        let (width, margin) = (units(paper.width()), units(paper.margin()));
        let (head, under_head) = head(context, width, margin);
        Sheet {
            staff,
            width,
            height: paper.height().map(units),
            margin,
            head,
            under_head,
        }
    }

    fn inner(&self) -> i64 {
        self.width - 2 * self.margin
    }

    /// Where the first system of a page begins.
    fn top(&self, page: usize) -> i64 {
        if page == 0 {
            self.under_head
        } else {
            self.margin
        }
    }

    /// Where the last system of a page must end.
    fn bottom(&self) -> Option<i64> {
        self.height
            .map(|height| height - self.margin - FOOTER - OVER_FOOTER)
    }

    /// The systems, and by how much the largest is too large: what there is, what it needs.
    fn systems(&self, context: &Context) -> (Vec<System>, Option<(i64, i64)>) {
        let width = self.inner();
        let plans = breaking::systems(context, width);
        let widest = plans.iter().map(Plan::least).max().unwrap_or(0);
        if widest > width {
            return (Vec::new(), Some((width, widest)));
        }
        let forces: Vec<i64> = plans
            .iter()
            .map(|plan| plan.springs.force(width - plan.tail()))
            .collect();
        let usual = usual_force(&forces);
        let last = plans.len().saturating_sub(1);
        let systems: Vec<System> = plans
            .iter()
            .zip(forces)
            .enumerate()
            .map(|(at, (plan, force))| {
                // A system much shorter than the others stays as short as it is.
                let most = if at == last { 1300 } else { 2200 };
                let width = if force * 1000 > usual * most {
                    plan.springs.width(usual).max(plan.springs.least()) + plan.tail()
                } else {
                    width
                };
                system::draw(context, plan, width)
            })
            .collect();
        let tallest = systems.iter().map(System::height).max().unwrap_or(0);
        let too_tall = self.bottom().and_then(|bottom| {
            let room = bottom - self.top(0);
            (tallest > room).then_some((room, tallest))
        });
        (systems, too_tall)
    }

    fn pages(&self, context: &Context, systems: Vec<System>) -> Vec<Page> {
        let mut groups: Vec<Vec<System>> = vec![Vec::new()];
        let mut y = self.top(0);
        for system in systems {
            let page = groups.len() - 1;
            let height = system.height();
            let full = self.bottom().is_some_and(|bottom| y + height > bottom);
            if full && !groups[page].is_empty() {
                groups.push(Vec::new());
                y = self.top(page + 1);
            }
            y += height + GAPS[0];
            if let Some(group) = groups.last_mut() {
                group.push(system);
            }
        }
        self.balance(&mut groups);
        let count = groups.len();
        groups
            .into_iter()
            .enumerate()
            .map(|(page, group)| self.page(context, group, page, count))
            .collect()
    }

    /// A system alone on the last page takes one from the page before.
    fn balance(&self, groups: &mut [Vec<System>]) {
        let [.., before, last] = groups else {
            return;
        };
        while last.len() + 2 < before.len() && last.len() < 2 {
            if let Some(system) = before.pop() {
                last.insert(0, system);
            }
        }
    }

    fn page(&self, context: &Context, systems: Vec<System>, page: usize, count: usize) -> Page {
        let mut marks = Vec::new();
        let mut y = self.top(page);
        if page == 0 {
            marks.extend(self.head.iter().cloned());
        }
        let gap = self.gap(&systems, page, count);
        let number = systems.len();
        for system in systems {
            let top = system.top;
            let height = system.height();
            marks.extend(system.marks.into_iter().map(|mut mark| {
                mark.shift(self.margin, y - top);
                mark
            }));
            y += height + gap;
        }
        let height = self
            .height
            .unwrap_or(y - gap + OVER_FOOTER + FOOTER + self.margin);
        self.footer(context, height, page, count, &mut marks);
        let paper = context.options.paper;
        let paper_height = paper.height().unwrap_or((height * self.staff + 999) / 1000);
        Page {
            marks,
            systems: number,
            size: (self.width, height),
            paper: (paper.width(), paper_height),
            theme: context.options.theme,
            id_prefix: context.options.id_prefix.clone(),
            svg_font: context.options.svg_font,
            label: one_line(context.score.title.as_deref().unwrap_or("")),
        }
    }

    /// The distance of the systems: those of a full page fill it.
    fn gap(&self, systems: &[System], page: usize, count: usize) -> i64 {
        let [least, usual, most] = GAPS;
        let gaps = systems.len().saturating_sub(1) as i64;
        let (Some(bottom), 1..) = (self.bottom(), gaps) else {
            return usual;
        };
        let used: i64 = systems.iter().map(System::height).sum();
        let room = (bottom - self.top(page) - used) / gaps;
        let wanted = if page + 1 < count { most } else { usual };
        room.clamp(least.min(room), wanted)
    }

    fn footer(
        &self,
        context: &Context,
        height: i64,
        page: usize,
        count: usize,
        marks: &mut Vec<Mark>,
    ) {
        let y = height - self.margin;
        let title = one_line(context.score.title.as_deref().unwrap_or(""));
        let parts: Vec<String> = [title]
            .into_iter()
            .chain(context.options.footer.iter().map(|text| one_line(text)))
            .filter(|text| !text.is_empty())
            .collect();
        let number = (count > 1)
            .then(|| Run::plain(&context.font, &format!("{} / {count}", page + 1), FOOTER));
        let taken = number.as_ref().map_or(0, |run| run.width() + 500);
        if let Some(run) = number {
            let x = self.width - self.margin - run.width();
            marks.push(run.mark(Kind::Footer, x, y));
        }
        let text = parts.join("  ·  ").replace("  ", "\u{a0}\u{a0}");
        // A single sheet without footer texts needs no second title.
        let wanted = !context.options.footer.is_empty() || page > 0;
        if wanted && !text.is_empty() {
            let run = Run::fitted(&context.font, &text, FOOTER, self.inner() - taken);
            marks.push(run.mark(Kind::Footer, self.margin, y));
        }
    }
}

impl System {
    fn height(&self) -> i64 {
        self.bottom - self.top
    }
}

/// What stands over the music of the first page, and where the first system begins: the title in
/// the middle; the composer on the right just above the music, the student on the left, as on a
/// sheet that is handed in (common practice, no source).
fn head(context: &Context, width: i64, margin: i64) -> (Vec<Mark>, i64) {
    let (score, inner) = (context.score, width - 2 * margin);
    let text = |text: &Option<String>| one_line(text.as_deref().unwrap_or(""));
    let (title, composer, student) = (
        text(&score.title),
        text(&score.composer),
        text(&score.student),
    );
    let mut marks = Vec::new();
    let (mut y, mut gap) = (margin, 0);
    if !title.is_empty() {
        let run = Run::fitted(&context.font, &title, TITLE, inner);
        marks.push(run.mark(Kind::Title, (width - run.width()) / 2, y - run.bounds().top));
        y += run.bounds().bottom - run.bounds().top;
        gap = UNDER_TITLE;
    }
    let room = match composer.is_empty() || student.is_empty() {
        true => inner,
        false => (inner - BETWEEN_CREDITS) / 2,
    };
    let credit =
        |text: String| (!text.is_empty()).then(|| Run::fitted(&context.font, &text, CREDIT, room));
    let student = credit(match student.is_empty() {
        true => student,
        false => format!("Student: {student}"),
    });
    let composer = credit(composer);
    let runs = || student.iter().chain(&composer);
    if runs().next().is_some() {
        if !marks.is_empty() {
            y += AROUND_CREDITS;
        }
        y -= runs().map(|run| run.bounds().top).min().unwrap_or(0);
        let left = student.iter().map(|run| run.mark(Kind::Credit, margin, y));
        let right = composer
            .iter()
            .map(|run| run.mark(Kind::Credit, width - margin - run.width(), y));
        marks.extend(left.chain(right));
        y += runs().map(|run| run.bounds().bottom).max().unwrap_or(0);
        gap = AROUND_CREDITS;
    }
    (marks, y + gap)
}

/// The middle one of the forces of all systems but the last; at ease if there is but one.
fn usual_force(forces: &[i64]) -> i64 {
    let mut others: Vec<i64> = match forces {
        [] | [_] => return 1000,
        [others @ .., _] => others.to_vec(),
    };
    others.sort_unstable();
    others[others.len() / 2]
}
