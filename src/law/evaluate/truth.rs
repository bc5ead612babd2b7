/// Yes, no, or not known: whether a condition holds for all possible values of the facts it reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Truth {
    /// It holds for none of them.
    No,
    /// It holds for all of them.
    Yes,
    /// It holds for some, or nobody can tell.
    Unknown,
}

impl Truth {
    /// The denial.
    #[inline]
    pub fn not(self) -> Truth {
        match self {
            Truth::No => Truth::Yes,
            Truth::Yes => Truth::No,
            Truth::Unknown => Truth::Unknown,
        }
    }

    /// Both. The order never matters.
    #[inline]
    pub fn and(self, other: Truth) -> Truth {
        match (self, other) {
            (Truth::No, _) | (_, Truth::No) => Truth::No,
            (Truth::Yes, Truth::Yes) => Truth::Yes,
            _ => Truth::Unknown,
        }
    }

    /// At least one. The order never matters.
    #[inline]
    pub fn or(self, other: Truth) -> Truth {
        self.not().and(other.not()).not()
    }

    /// What is left when either may be the case.
    #[inline]
    pub fn hull(self, other: Truth) -> Truth {
        if self == other { self } else { Truth::Unknown }
    }

    /// Whether it is yes or no.
    #[inline]
    pub fn is_decided(self) -> bool {
        self != Truth::Unknown
    }
}

impl From<bool> for Truth {
    #[inline]
    fn from(yes: bool) -> Truth {
        if yes { Truth::Yes } else { Truth::No }
    }
}
